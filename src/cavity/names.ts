import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/**
 * Names from the file's objects or groups. A cavity takes the name of an object where most of its wall belongs to that
 * object and most of the object lies in that cavity, so that the name of a whole plate is not given to a cavity. What of
 * an object stands over the scrape surface, as the sunk foot of a positive does, is not counted.
 * @param walls triangle numbers per cavity
 */
export function objectNamesOf(mesh: TriangleMesh, walls: readonly Uint32Array[]): (string | null)[] {
  const { objectNames, objectOf } = mesh;
  if (objectNames === undefined || objectOf === undefined) return walls.map(() => null);
  const whole = new Float64Array(objectNames.length);
  for (let t = 0; t < objectOf.length; t++) if (isUnderZero(mesh, t)) whole[objectOf[t]!]! += area(mesh, t);
  const given = new Set<string>();
  return walls.map((own) => {
    const share = new Map<number, number>();
    let all = 0;
    for (const t of own) {
      const size = area(mesh, t);
      all += size;
      share.set(objectOf[t]!, (share.get(objectOf[t]!) ?? 0) + size);
    }
    for (const [object, size] of share) {
      const name = objectNames[object]!.trim();
      if (name === '' || given.has(name) || size < all / 2 || size < whole[object]! / 2) continue;
      given.add(name);
      return name;
    }
    return null;
  });
}

function isUnderZero({ positions: p, triangles }: TriangleMesh, t: number): boolean {
  return p[3 * triangles[3 * t]! + 2]! + p[3 * triangles[3 * t + 1]! + 2]! + p[3 * triangles[3 * t + 2]! + 2]! < 0;
}

function area(mesh: TriangleMesh, t: number): number {
  const { positions: p, triangles } = mesh;
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  return Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
}
