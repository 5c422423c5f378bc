import type { Finding } from '../base/finding.js';
import type { AirPocket } from './air-traps.js';
import { type EdgeSettings, edgeDefaults } from './edge-settings.js';
import type { LiftPoint } from './lift-point.js';
import type { MeasuredBody } from './measured-body.js';
import type { NarrowHollow } from './narrow-hollows.js';
import { quantile } from './quantile.js';
import { rimStretches } from './rim-stretches.js';
import type { EdgeProfile } from './taper.js';
import type { ThinZone } from './thin-zones.js';
import type { Undercut } from './undercut.js';

/** What was measured of one body, as far as sentences are made of it. */
export interface EdgeFacts {
  readonly body: MeasuredBody;
  readonly profile: EdgeProfile;
  readonly tearMm: number;
  /** The tear thickness is that for the pull out of an undercut. */
  readonly isPulledHard: boolean;
  readonly zones: readonly ThinZone[];
  readonly undercut: Undercut;
  readonly traps: readonly AirPocket[];
  readonly hollows: readonly NarrowHollow[];
  readonly lift: LiftPoint | null;
}

type Place = readonly [number, number, number];

/** Of one kind at most so many sentences for a cavity; the last one says how many more there are. */
const mostOfAKind = 3;

/** Last digit of a thickness in a sentence, mm. */
const shownMm = 0.01;

/** Cured silicone is not stretched past this share of its elongation at break: common practice, no source. */
const elongationShare = 1 / 3;

export function edgeFindings(facts: EdgeFacts, settings: EdgeSettings): Finding[] {
  return [
    ...rimFindings(facts, settings),
    ...capped(facts.zones.filter((zone) => zone.inner).map((zone) => thinInside(zone, facts.tearMm))),
    ...undercutFindings(facts.undercut, settings),
    ...capped(facts.traps.map(trapFinding)),
    ...capped(facts.hollows.map(hollowFinding)),
    ...(facts.lift === null ? [] : [liftFinding(facts.lift, settings)]),
  ];
}

/** Judgement of the edge itself, unless the scan cannot show it. */
function rimFindings(facts: EdgeFacts, settings: EdgeSettings): Finding[] {
  const noise = facts.body.fill.noiseMm;
  const atOneMm = stationMedian(facts.profile, 1);
  if (noise > 0 && atOneMm !== null && atOneMm < 3 * noise) {
    return [
      {
        code: 'edge-not-shown',
        severity: 'note',
        message: `This scan cannot show the edge: 1 mm in from the rim it reads ${mm(atOneMm)} mm, under three times the scan's noise of ${mm(noise)} mm. The edge is not judged: feel it on a test cast, or scan finer.`,
      },
    ];
  }
  const long = facts.zones.filter((zone) => !zone.inner && zone.isPast);
  return [
    ...capped(long.map((zone) => thinEdge(zone, facts))),
    ...thickRim(facts, settings.rimStepMm ?? edgeDefaults.rimStepMm),
  ];
}

function thinEdge(zone: ThinZone, facts: EdgeFacts): Finding {
  const { tearMm, body } = facts;
  const upTo = zone.reachMostMm > zone.reachMm + 1 ? ` (up to ${zone.reachMostMm.toFixed(1)} mm)` : '';
  const reach = zone.isThinThrough
    ? `all the way from the rim to the middle, ${zone.reachMm.toFixed(1)} mm`
    : `for ${zone.reachMm.toFixed(1)} mm in from the rim${upTo}`;
  const missing = zone.atAllowanceMm === null ? null : tearMm - zone.atAllowanceMm;
  const build =
    missing === null || missing <= 0
      ? 'Cut the mould deeper over that stretch, or build up the sculpt'
      : `${body.allowanceMm.toFixed(1)} mm in it is ${mm(zone.atAllowanceMm!)} mm thick: ${thicker(missing)}`;
  const whole = body.rim.parts.lengthsMm.reduce((sum, length) => sum + length, 0);
  const span =
    zone.rimSpanMm > 0.95 * whole ? 'all round' : `along ${zone.rimSpanMm.toFixed(0)} mm of rim ${at(zone.atMm)}`;
  return {
    code: 'thin-edge',
    severity: 'caution',
    message: `The edge is under ${mm(tearMm)} mm ${reach}, ${span}: it tears ${facts.isPulledHard ? 'as the piece is pulled out of its undercut' : 'as the piece is lifted'}. ${build}, or cast it encapsulated.`,
    atMm: zone.atMm,
  };
}

function thickRim({ profile, body }: EdgeFacts, rimStepMm: number): Finding[] {
  const { samples, stationsMm, thicknessMm } = profile;
  // Noise shifts the rim to and fro, and the thickness so near to it with it. What reads like the limit is not over it.
  const least = rimStepMm + shownMm / 2 + 2 * body.fill.noiseMm;
  const at025 = (i: number) => thicknessMm[i * stationsMm.length]!;
  const stretches = rimStretches(samples, (i) => at025(i) > least);
  if (stretches.length === 0) return [];
  const length = stretches.reduce((sum, stretch) => sum + stretch.lengthMm, 0);
  const whole = body.rim.parts.lengthsMm.reduce((sum, l) => sum + l, 0);
  const marked = stretches.flatMap((stretch) => stretch.samples);
  const sorted = Float64Array.from(marked, at025)
    .filter((t) => !Number.isNaN(t))
    .sort();
  const worst = marked.reduce((best, i) => (at025(i) > at025(best) ? i : best));
  const place: [number, number, number] = [samples.place[2 * worst]!, samples.place[2 * worst + 1]!, 0];
  const where =
    length > 0.95 * whole
      ? 'all round'
      : `along ${length.toFixed(0)} of ${whole.toFixed(0)} mm of rim, most ${at(place)}`;
  return [
    {
      code: 'thick-rim',
      severity: 'caution',
      message: `The rim is ${mm(quantile(sorted, 0.5))} mm thick a quarter of a millimetre in, ${where}: over ${mm(rimStepMm)} mm it shows as a step on skin. Feather it out there, on the sculpt or with a blade in the mould.`,
      atMm: place,
    },
  ];
}

function thinInside(zone: ThinZone, tearMm: number): Finding {
  return {
    code: 'thin-inside',
    severity: 'caution',
    message: `A thin spot inside the piece, down to ${mm(zone.minMm)} mm over ${zone.areaMm2.toFixed(zone.areaMm2 < 10 ? 1 : 0)} mm² ${at(zone.atMm)}, tears (under ${mm(tearMm)} mm): ${thicker(tearMm - zone.minMm)}.`,
    atMm: zone.atMm,
  };
}

function undercutFindings(
  { volumeMm3, overhangMm, neckMm, stretchPct, parts }: Undercut,
  settings: EdgeSettings,
): Finding[] {
  if (volumeMm3 === 0) return [];
  const stretch = stretchPct ?? 0;
  const times = (1 + stretch / 100).toFixed(1);
  const { elongationPct } = settings;
  const mostPct = elongationPct === undefined ? null : elongationPct * elongationShare;
  const tooMuch = mostPct !== null && stretch > mostPct;
  // In tens, as data sheets state it, from the whole per cent that the table shows.
  const needed = Math.ceil(Math.round(stretch) / elongationShare / 10) * 10;
  const limit =
    mostPct === null
      ? `That wants an elongation of ${needed} % or more on the data sheet of the mix, three times what is asked of it (--elongation).`
      : tooMuch
        ? `A mix of ${elongationPct} % elongation should not be asked for more than ${(1 + mostPct / 100).toFixed(1)} times: widen the neck, or cut the mould so that it opens.`
        : `That is within a third of the mix's elongation of ${elongationPct} %.`;
  const neck = neckMm === null ? '' : ` below a neck ${neckMm.toFixed(1)} mm wide`;
  const out =
    stretch >= 5
      ? `The piece must stretch to about ${times} times its neck to come out. ${limit}`
      : 'It hardly has to stretch: ease it out of there last.';
  const place = parts[0]?.atMm;
  return [
    {
      code: 'undercut',
      severity: tooMuch || (mostPct === null && stretch > 100) ? 'caution' : 'note',
      message: `An undercut${neck} holds ${(volumeMm3 / 1000).toFixed(volumeMm3 < 100 ? 3 : 2)} ml and reaches ${(overhangMm ?? 0).toFixed(1)} mm under the wall. ${out} Brush release well into it.`,
      ...(place && { atMm: place }),
    },
  ];
}

function trapFinding({ volumeMm3, heightMm, atMm }: AirPocket): Finding {
  return {
    code: 'air-trap',
    severity: 'caution',
    message: `Air stays in a pocket of ${(volumeMm3 / 1000).toFixed(3)} ml, ${heightMm.toFixed(1)} mm high, ${at(atMm)}, ${(-atMm[2]).toFixed(1)} mm down: brush a first coat up into it and massage from there towards the opening before you pour.`,
    atMm,
  };
}

function hollowFinding({ widthMm, depthMm, atMm }: NarrowHollow): Finding {
  return {
    code: 'narrow-hollow',
    severity: 'note',
    message: `A hollow ${widthMm.toFixed(1)} mm wide and ${depthMm.toFixed(1)} mm deep ${at(atMm)} keeps a bubble: brush a first coat in here.`,
    atMm,
  };
}

function liftFinding({ atMm, edgeMm }: LiftPoint, settings: EdgeSettings): Finding {
  const isStraight = (settings.way ?? edgeDefaults.way) === 'straight';
  return {
    code: 'lift-start',
    severity: 'note',
    message: isStraight
      ? `Start lifting ${at(atMm)}, where the edge is strongest and least held: it is ${mm(edgeMm)} mm thick 2 mm in.`
      : `Start lifting by the barrier's margin ${at(atMm)}, where the piece is held least; never by the silicone's edge.`,
    atMm,
  };
}

function capped(findings: Finding[]): Finding[] {
  if (findings.length <= mostOfAKind) return findings;
  const shown = findings.slice(0, mostOfAKind);
  const last = shown.at(-1)!;
  shown[mostOfAKind - 1] = {
    ...last,
    message: `${last.message} (And ${findings.length - mostOfAKind} more like this.)`,
  };
  return shown;
}

function stationMedian(profile: EdgeProfile, inMm: number): number | null {
  const k = profile.stationsMm.indexOf(inMm);
  const sorted = profile.thicknessMm.filter((t, i) => i % profile.stationsMm.length === k && !Number.isNaN(t)).sort();
  return sorted.length === 0 ? null : quantile(sorted, 0.5);
}

const thicker = (byMm: number): string => `cut the mould there, or build up the sculpt, by ${mm(byMm)} mm or more`;
const mm = (value: number): string => value.toFixed(2);
const at = ([x, y]: Place): string => `at x ${x.toFixed(0)}, y ${y.toFixed(0)} mm`;
