import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';

/** Which way round a plan is drawn: looking into the mould, or at the cast pieces lying face up on a board. */
export type PlanView = 'mould' | 'board';

/** One cavity as a plan draws it; millimetres, y downwards as SVG has it. */
export interface PlanShape {
  readonly number: number;
  readonly name: string;
  /** SVG path of the rim, islands included (fill rule evenodd). */
  readonly path: string;
  /** xMin, yMin, xMax, yMax. */
  readonly box: readonly [number, number, number, number];
  /** Middle of the largest free circle inside the rim, and its radius. */
  readonly centre: readonly [number, number];
  readonly room: number;
  /** False where the survey holds no rim, and the box stands for it. */
  readonly measured: boolean;
  /** From plate frame to plan: `x = flip * xPlate + shift[0]`, `y = shift[1] - yPlate`. */
  readonly flip: 1 | -1;
  readonly shift: readonly [number, number];
}

export interface Plan {
  readonly widthMm: number;
  readonly heightMm: number;
  /** False for loose pieces, which lie in no plate. */
  readonly hasPlate: boolean;
  readonly shapes: readonly PlanShape[];
}

type Loop = readonly number[];

const round = (value: number): number => Math.round(value * 100) / 100 || 0;

/** The rims as the document holds them; a document from elsewhere may hold anything under that key. */
function rimLoops(cavity: CavityRecord): readonly Loop[] {
  const loops: unknown = cavity.rimMm;
  if (!Array.isArray(loops)) return [];
  return loops.filter(
    (loop): loop is number[] =>
      Array.isArray(loop) && loop.length >= 6 && loop.every((value) => Number.isFinite(value)),
  );
}

function boxLoop([xMin, yMin, , xMax, yMax]: CavityRecord['boxMm']): Loop {
  return [xMin, yMin, xMax, yMin, xMax, yMax, xMin, yMax];
}

/** Signed distance from the nearest rim, plus inside. */
function insideBy(x: number, y: number, loops: readonly Loop[]): number {
  let inside = false;
  let nearest = Number.POSITIVE_INFINITY;
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
      const [ax, ay, bx, by] = [loop[j]!, loop[j + 1]!, loop[i]!, loop[i + 1]!];
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
      const [dx, dy] = [bx - ax, by - ay];
      const length = dx * dx + dy * dy;
      const share = length === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length));
      nearest = Math.min(nearest, (x - ax - share * dx) ** 2 + (y - ay - share * dy) ** 2);
    }
  }
  return (inside ? 1 : -1) * Math.sqrt(nearest);
}

/** Middle of the largest free circle: a grid over the box, then ever finer ones round the best point. */
function roomiest(loops: readonly Loop[], box: readonly [number, number, number, number]): [number, number, number] {
  let [x, y, room] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2, Number.NEGATIVE_INFINITY];
  let [halfX, halfY] = [(box[2] - box[0]) / 2, (box[3] - box[1]) / 2];
  for (const steps of [10, 3, 3]) {
    const [midX, midY] = [x, y];
    for (let i = -steps; i <= steps; i++) {
      for (let j = -steps; j <= steps; j++) {
        const [tryX, tryY] = [midX + (i / steps) * halfX, midY + (j / steps) * halfY];
        const by = insideBy(tryX, tryY, loops);
        if (by > room) [x, y, room] = [tryX, tryY, by];
      }
    }
    halfX /= steps;
    halfY /= steps;
  }
  return [x, y, Math.max(0, room)];
}

function svgPath(loop: Loop): string {
  const points = loop.flatMap((x, i) => (i % 2 === 0 ? [`${x} ${loop[i + 1]}`] : []));
  return `M${points.join('L')}Z`;
}

function boxOf(loops: readonly Loop[]): [number, number, number, number] {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i += 2) {
      box[0] = Math.min(box[0], loop[i]!);
      box[1] = Math.min(box[1], loop[i + 1]!);
      box[2] = Math.max(box[2], loop[i]!);
      box[3] = Math.max(box[3], loop[i + 1]!);
    }
  }
  return box;
}

/** The plate frame's place of each cavity in the plan, before it is turned over: x, y shift and the whole's size. */
function layOut(document: SurveyDocument): { width: number; height: number; shifts: [number, number][] } {
  const { plate, cavities } = document;
  if (plate.form !== 'pieces') {
    const reach = cavities.map(({ boxMm }) => boxMm);
    return {
      width: Math.max(plate.lengthMm ?? 0, ...reach.map((box) => box[3]), 1),
      height: Math.max(plate.widthMm ?? 0, ...reach.map((box) => box[4]), 1),
      shifts: cavities.map(() => [0, 0]),
    };
  }
  // Loose pieces have no common frame: they are laid in rows, in the order of their numbers.
  const gap = 6;
  const sizes = cavities.map(({ boxMm }) => [boxMm[3] - boxMm[0], boxMm[4] - boxMm[1]] as const);
  const whole = Math.sqrt(sizes.reduce((sum, [w, h]) => sum + (w + gap) * (h + gap), 0)) * 1.3;
  const rowWidth = Math.max(whole, ...sizes.map(([w]) => w + 2 * gap));
  let [x, y, deep, width] = [gap, gap, 0, 0];
  const corners = sizes.map(([w, h]): [number, number] => {
    if (x > gap && x + w + gap > rowWidth) [x, y, deep] = [gap, y + deep + gap, 0];
    const corner: [number, number] = [x, y];
    x += w + gap;
    deep = Math.max(deep, h);
    width = Math.max(width, x);
    return corner;
  });
  const height = y + deep + gap;
  const shifts = cavities.map(({ boxMm }, i): [number, number] => [
    corners[i]![0] - boxMm[0],
    height - corners[i]![1] - boxMm[4],
  ]);
  return { width: Math.max(width, 1), height: Math.max(height, 1), shifts };
}

/** Where everything stands in a plan of the plate. */
export function planOf(document: SurveyDocument, view: PlanView): Plan {
  const { width, height, shifts } = layOut(document);
  const flip = view === 'board' ? -1 : 1;
  const shapes = document.cavities.map((cavity, index): PlanShape => {
    const [shiftX, shiftY] = shifts[index]!;
    const shift = [flip === 1 ? shiftX : width - shiftX, height - shiftY] as const;
    const found = rimLoops(cavity);
    const source = found.length > 0 ? found : [boxLoop(cavity.boxMm)];
    const loops = source.map((loop) =>
      loop.map((value, i) => round(i % 2 === 0 ? flip * value + shift[0] : shift[1] - value)),
    );
    const box = boxOf(loops);
    const [x, y, room] = roomiest(loops, box);
    return {
      number: cavity.number,
      name: cavity.name,
      path: loops.map(svgPath).join(''),
      box,
      centre: [round(x), round(y)],
      room: round(room),
      measured: found.length > 0,
      flip,
      shift,
    };
  });
  return { widthMm: width, heightMm: height, hasPlate: document.plate.form !== 'pieces', shapes };
}

/** A place in the plate frame as the plan draws it. */
export function inPlan(shape: PlanShape, [x, y]: readonly [number, number, ...number[]]): [number, number] {
  return [round(shape.flip * x + shape.shift[0]), round(shape.shift[1] - y)];
}
