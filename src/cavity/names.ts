import { triangleArea } from '../mesh/triangle-area.js';
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
  for (let t = 0; t < objectOf.length; t++) if (isUnderZero(mesh, t)) whole[objectOf[t]!]! += triangleArea(mesh, t);
  const given = new Set<string>();
  return walls.map((own) => {
    const share = new Map<number, number>();
    let all = 0;
    for (const t of own) {
      const size = triangleArea(mesh, t);
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
