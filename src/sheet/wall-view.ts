/** The wall of the cavities seen from straight above, as a grid of figures. */

export interface ViewedWall {
  /** x, y, z per vertex, mm, in the plate frame. */
  readonly positions: ArrayLike<number>;
  /** Three vertex indices per face. */
  readonly triangles: ArrayLike<number>;
  /** The figure each face is shown by; where not given, its depth under z = 0 point by point. */
  readonly perFace?: ArrayLike<number>;
  /** From the plate frame to the plan: `x = flip * xPlate + shift[0]`, `y = shift[1] - yPlate`. */
  readonly flip: 1 | -1;
  readonly shift: readonly [number, number];
  /** The rims in the plan, x, y per point. Wall outside them is hidden from above. */
  readonly rims: readonly (readonly number[])[];
}

export interface WallView {
  readonly width: number;
  readonly height: number;
  readonly pixelsPerMm: number;
  /** Per pixel, rows from the top: the figure of the highest wall there; NaN where there is none. */
  readonly values: Float32Array;
  /** 1 inside a rim. */
  readonly inside: Uint8Array;
}

/** Marks the pixels whose middle lies inside the loops (even-odd). */
function fillInside(inside: Uint8Array, width: number, height: number, loops: ViewedWall['rims'], scale: number): void {
  const crossings: number[] = [];
  for (let row = 0; row < height; row++) {
    const y = (row + 0.5) / scale;
    crossings.length = 0;
    for (const loop of loops) {
      for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
        const [ax, ay, bx, by] = [loop[j]!, loop[j + 1]!, loop[i]!, loop[i + 1]!];
        if (ay > y !== by > y) crossings.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
      }
    }
    crossings.sort((a, b) => a - b);
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      const from = Math.max(0, Math.ceil(crossings[k]! * scale - 0.5));
      const to = Math.min(width - 1, Math.floor(crossings[k + 1]! * scale - 0.5));
      for (let column = from; column <= to; column++) inside[row * width + column] = 1;
    }
  }
}

/** Draws one wall: at each pixel the face that lies highest wins. */
function drawWall(wall: ViewedWall, view: WallView, top: Float32Array): void {
  const { positions, triangles, perFace, flip, shift } = wall;
  const { width, height, pixelsPerMm: scale, values } = view;
  for (let f = 0; f < triangles.length / 3; f++) {
    const [a, b, c] = [3 * triangles[3 * f]!, 3 * triangles[3 * f + 1]!, 3 * triangles[3 * f + 2]!];
    const px = (v: number): number => (flip * positions[v]! + shift[0]) * scale - 0.5;
    const py = (v: number): number => (shift[1] - positions[v + 1]!) * scale - 0.5;
    const [ax, ay, bx, by, cx, cy] = [px(a), py(a), px(b), py(b), px(c), py(c)];
    const twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    if (twice === 0) continue;
    const [az, bz, cz] = [positions[a + 2]!, positions[b + 2]!, positions[c + 2]!];
    const rowTo = Math.min(height - 1, Math.floor(Math.max(ay, by, cy)));
    const columnTo = Math.min(width - 1, Math.floor(Math.max(ax, bx, cx)));
    for (let y = Math.max(0, Math.ceil(Math.min(ay, by, cy))); y <= rowTo; y++) {
      for (let x = Math.max(0, Math.ceil(Math.min(ax, bx, cx))); x <= columnTo; x++) {
        const u = ((bx - x) * (cy - y) - (by - y) * (cx - x)) / twice;
        const v = ((cx - x) * (ay - y) - (cy - y) * (ax - x)) / twice;
        const w = 1 - u - v;
        if (u < 0 || v < 0 || w < 0) continue;
        const z = u * az + v * bz + w * cz;
        const at = y * width + x;
        if (z <= top[at]!) continue;
        top[at] = z;
        values[at] = perFace === undefined ? -z : perFace[f]!;
      }
    }
  }
}

/** Draws the walls of a plan of the given size in mm. */
export function viewWalls(
  walls: readonly ViewedWall[],
  widthMm: number,
  heightMm: number,
  pixelsPerMm: number,
): WallView {
  const [width, height] = [Math.ceil(widthMm * pixelsPerMm), Math.ceil(heightMm * pixelsPerMm)];
  const view: WallView = {
    width,
    height,
    pixelsPerMm,
    values: new Float32Array(width * height).fill(Number.NaN),
    inside: new Uint8Array(width * height),
  };
  const top = new Float32Array(width * height).fill(Number.NEGATIVE_INFINITY);
  for (const wall of walls) {
    drawWall(wall, view, top);
    fillInside(view.inside, width, height, wall.rims, pixelsPerMm);
  }
  return view;
}
