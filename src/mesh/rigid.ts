/** Rigid motions as 4 x 4 matrices, column-major, and vectors as triples. */
export type Vec3 = readonly [number, number, number];

export function dot(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

export function normalized(a: Vec3): Vec3 {
  const length = Math.hypot(a[0], a[1], a[2]);
  return [a[0] / length, a[1] / length, a[2] / length];
}

/** The motion that takes points into the frame with the given axes (rows of its rotation) and origin. */
export function intoFrame(x: Vec3, y: Vec3, z: Vec3, origin: Vec3): number[] {
  return [
    x[0],
    y[0],
    z[0],
    0,
    x[1],
    y[1],
    z[1],
    0,
    x[2],
    y[2],
    z[2],
    0,
    -dot(x, origin),
    -dot(y, origin),
    -dot(z, origin),
    1,
  ];
}

/** The motion `second after first`. */
export function compose(second: readonly number[], first: readonly number[]): number[] {
  const out = new Array<number>(16).fill(0);
  for (let column = 0; column < 4; column++) {
    for (let row = 0; row < 4; row++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += second[4 * k + row]! * first[4 * column + k]!;
      out[4 * column + row] = sum;
    }
  }
  return out;
}

export function applyToPoint(m: readonly number[], p: Vec3): Vec3 {
  return [
    m[0]! * p[0] + m[4]! * p[1] + m[8]! * p[2] + m[12]!,
    m[1]! * p[0] + m[5]! * p[1] + m[9]! * p[2] + m[13]!,
    m[2]! * p[0] + m[6]! * p[1] + m[10]! * p[2] + m[14]!,
  ];
}

/** Moves all points (stride 3) in place. */
export function applyInPlace(m: readonly number[], positions: Float64Array): void {
  const [m0, m1, m2, , m4, m5, m6, , m8, m9, m10, , m12, m13, m14] = m as number[];
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]!;
    const y = positions[i + 1]!;
    const z = positions[i + 2]!;
    positions[i] = m0! * x + m4! * y + m8! * z + m12!;
    positions[i + 1] = m1! * x + m5! * y + m9! * z + m13!;
    positions[i + 2] = m2! * x + m6! * y + m10! * z + m14!;
  }
}

/** Any right-handed pair of axes that completes z; deterministic. */
export function axesAround(z: Vec3): { x: Vec3; y: Vec3 } {
  const helper: Vec3 = Math.abs(z[0]) < 0.9 ? [1, 0, 0] : [0, 1, 0];
  const x = normalized(cross(helper, z));
  return { x, y: cross(z, x) };
}
