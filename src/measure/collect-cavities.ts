import type { Finding } from '../base/finding.js';
import { distanceToLoops, indexLoops } from '../base/loop-index.js';
import { isInside } from '../base/plane-geometry.js';
import { objectNamesOf } from '../cavity/names.js';
import { readingOrder } from '../cavity/numbering.js';
import { type HollowRole, suggestRole, wideMm } from '../cavity/roles.js';
import type { Plate } from '../plate/find-plate.js';
import { largestCircle } from './largest-circle.js';
import type { MeasuredHollow } from './measure-hollow.js';
import { RimIndex } from './rim-index.js';

/** A hollow with its role; a cavity has its number, everything else the name by which the person can call it in. */
export interface Cavity extends MeasuredHollow {
  readonly role: HollowRole;
  /** 1, 2, 3 … for pieces, 0 for the rest. */
  readonly number: number;
  readonly name: string;
}

/**
 * Gives the hollows their roles, numbers and names.
 * @param asked roles set by the person, by cavity number or by the name of a left-out hollow
 */
export function collectCavities(
  plate: Plate,
  hollows: readonly MeasuredHollow[],
  asked: Readonly<Record<string, HollowRole>>,
): { cavities: Cavity[]; others: Cavity[]; findings: Finding[] } {
  const inOrder = readingOrder(
    hollows.map(({ boxMm, centreMm }) => ({ yMin: boxMm[1], yMax: boxMm[4], x: centreMm[0] })),
  ).map((i) => hollows[i]!);
  const suggested = inOrder.map((hollow) => ({ hollow, role: suggest(plate, hollow) }));
  const called = callNames(suggested.map(({ role }) => role));
  const findings: Finding[] = [];
  for (const name of Object.keys(asked)) {
    if (called.includes(name)) continue;
    findings.push({
      code: 'role-without-hollow',
      severity: 'caution',
      message: `--role ${name}=${asked[name]} names no hollow of this plate. There are: ${called.join(', ') || 'none'}.`,
    });
  }
  const settled = suggested.map(({ hollow, role }, i) => ({
    hollow,
    role: asked[called[i]!] ?? role,
    from: called[i]!,
  }));
  const pieces = settled.filter(({ role }) => role === 'piece');
  const rest = settled.filter(({ role }) => role !== 'piece');
  const objectNames = objectNamesOf(
    plate.mesh,
    pieces.map(({ hollow }) => hollow.surface.wall),
  );
  const restNames = callNames(rest.map(({ role }) => role));
  const cavities = pieces.map(({ hollow }, i): Cavity => {
    return { ...hollow, role: 'piece', number: i + 1, name: objectNames[i] ?? `cavity-${i + 1}` };
  });
  const others = rest.map(({ hollow, role }, i): Cavity => ({ ...hollow, role, number: 0, name: restNames[i]! }));
  for (const role of ['key', 'gutter', 'mark'] as const) {
    const own = others.filter((hollow) => hollow.role === role);
    if (own.length > 0) findings.push(leftOut(role, own));
  }
  return { cavities, others, findings };
}

function suggest(plate: Plate, hollow: MeasuredHollow): HollowRole {
  if (hollow.rimLoops.length === 0 || hollow.openingAreaMm2 === null || hollow.rimLengthMm === null) return 'piece';
  const [x, y] = hollow.centreMm;
  const role = suggestRole({
    openingMm2: hollow.openingAreaMm2,
    rimLengthMm: hollow.rimLengthMm,
    widthMm: widthOf(hollow.rimLoops, hollow.centreMm),
    depthMm: hollow.depthMm,
    toSideXMm: Math.min(x, plate.lengthMm - x),
    toSideYMm: Math.min(y, plate.widthMm - y),
    plateLengthMm: Math.max(plate.lengthMm, plate.widthMm),
    loops: hollow.rimLoops.length,
  });
  // Loose bodies are pieces, except for crumbs between them.
  return plate.pieces !== undefined && role !== 'mark' ? 'piece' : role;
}

/** The largest circle's diameter, or something over `wideMm` that is under it. */
function widthOf(loops: readonly Float64Array[], [x, y]: readonly [number, number]): number {
  const least = isInside(loops, x, y) ? 2 * distanceToLoops(indexLoops(loops), x, y) : 0;
  return least > wideMm ? least : largestCircle(RimIndex.ofLoops(loops)).diameterMm;
}

/** Pieces are called by their number, the rest by role and count: `1`, `2`, `key1`, `mark1`. */
function callNames(roles: readonly HollowRole[]): string[] {
  const count: Record<HollowRole, number> = { piece: 0, key: 0, gutter: 0, mark: 0 };
  return roles.map((role) => {
    count[role]++;
    return role === 'piece' ? `${count[role]}` : `${role}${count[role]}`;
  });
}

const why: Record<'key' | 'gutter' | 'mark', string> = {
  key: 'small, steep and round, in a corner of the plate',
  gutter: 'a slender channel as long as the plate',
  mark: 'narrower than 3 mm or under 20 mm²',
};

function leftOut(role: 'key' | 'gutter' | 'mark', own: readonly Cavity[]): Finding {
  const places = own
    .slice(0, 4)
    .map(({ name, centreMm: [x, y] }) => `${name} at ${x.toFixed(0)}, ${y.toFixed(0)}`)
    .join('; ');
  const more = own.length > 4 ? ` and ${own.length - 4} more` : '';
  return {
    code: `${role}-left-out`,
    severity: 'note',
    message: `${own.length} ${role}${own.length === 1 ? '' : 's'} not counted as cavities (${why[role]}): ${places}${more} mm. If one is a piece: --role ${own[0]!.name}=piece.`,
  };
}
