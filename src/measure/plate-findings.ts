import type { Finding } from '../base/finding.js';
import type { TaskOptions } from '../base/source.js';
import type { CavityRecord } from '../base/survey-document.js';
import type { FillBody } from '../cavity/fill-body.js';
import { type EdgeSettings, edgeDefaults } from './edge-settings.js';
import { tiltStudy } from './tilt.js';

/** A scraper rides on land; on a bridge narrower than this it drops in and drags fill out: common practice, no source. */
const scraperMm = 2;

/**
 * Too little land between neighbouring rims and to the plate's edge: for the scraper, for the flash band, and where
 * pieces are encapsulated for the barrier's margin on both sides.
 */
export function spacingFindings(
  cavities: readonly Pick<CavityRecord, 'number' | 'nearestRimMm'>[],
  bandMm: number,
  settings: EdgeSettings,
): Finding[] {
  const isStraight = (settings.way ?? edgeDefaults.way) === 'straight';
  const marginMm = settings.marginMm ?? edgeDefaults.marginMm;
  const needs = isStraight
    ? {
        mm: Math.max(scraperMm, bandMm),
        why: `flash of ${bandMm} mm round a piece runs into the next or over the edge`,
      }
    : { mm: marginMm, why: `a barrier wants ${marginMm} mm of land round each piece` };
  const tight = cavities.filter(({ nearestRimMm }) => nearestRimMm !== null && nearestRimMm < needs.mm);
  if (tight.length === 0) return [];
  const least = Math.min(...tight.map(({ nearestRimMm }) => nearestRimMm!));
  const scraper =
    least < scraperMm ? ` The scraper drops in on land under ${scraperMm} mm: scrape along it, not across.` : '';
  const which = tight.map(({ number, nearestRimMm }) => `${number} (${nearestRimMm!.toFixed(1)} mm)`).join(', ');
  return [
    {
      code: 'little-land',
      severity: 'caution',
      message: `Little land to the next rim or the plate's edge at ${tight.length === 1 ? 'cavity' : 'cavities'} ${which}: ${needs.why}.${scraper} Trim these by hand, or move them apart before the mould is made.`,
      ...(tight.length === 1 && { cavity: tight[0]!.number }),
    },
  ];
}

/**
 * The tilt of the plate that traps least while the first coat is worked in.
 * @param bodies those in which air stays; nothing is studied where there are none
 */
export async function tiltFindings(
  bodies: readonly FillBody[],
  settings: EdgeSettings,
  task: TaskOptions = {},
): Promise<Finding[]> {
  const tiltDeg = settings.tiltDeg ?? edgeDefaults.tiltDeg;
  if (bodies.length === 0 || tiltDeg === 0) return [];
  const { levelMm3, best } = await tiltStudy(bodies, tiltDeg, task);
  // The study is coarser than the pockets' own figures: a share says what it knows.
  const share = Math.round(10 * (1 - best.volumeMm3 / levelMm3)) * 10;
  const message =
    best.tiltDeg === 0
      ? `No tilt of ${tiltDeg} degrees to any side lets more air out than a level plate: keep it level and massage the air out.`
      : `For the first coat raise the plate's ${side(best.towardsDeg)} by ${tiltDeg} degrees: that lets out about ${share} % of the air that would stay. Fill the open plate level.`;
  return [{ code: 'tilt', severity: 'note', message }];
}

/** Sides of the plate as one looks into the mould, x to the right. */
const sides = [
  'right side',
  'top right corner',
  'top',
  'top left corner',
  'left side',
  'bottom left corner',
  'bottom',
  'bottom right corner',
];
const side = (towardsDeg: number): string => sides[Math.round(towardsDeg / 45) % 8]!;
