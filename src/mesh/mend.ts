import { aroundVertices } from './around-vertices.js';
import { coherenceOf } from './coherence.js';
import { type FaceSums, faceSums } from './face-sums.js';
import { fillHole, type HolePatch } from './fill-hole.js';
import { oppositeHalfEdges } from './half-edges.js';
import { openLoops } from './open-loops.js';
import { facingWrong, turnRound } from './orient.js';
import { keepTriangles, soundTriangles } from './sound-triangles.js';
import { type FlatSpike, flattenSpikes } from './spikes.js';
import { copiedShells, type StrayShells, specks } from './stray-shells.js';
import { boxSides, type TriangleMesh } from './triangle-mesh.js';
import { weldCracks } from './weld-cracks.js';

/** One kind of repair, and by which triangles of the mended mesh its effect on a volume can be told. */
export interface MeshRepair {
  readonly what: string;
  readonly count: number;
  /** Triangle number to how many times its own part of a volume was added; null: the effect cannot be told. */
  readonly effect: ReadonlyMap<number, number> | null;
}

/** What is told by triangles whose numbers or sides may still change. */
interface Noted extends MeshRepair {
  count: number;
  effect: Map<number, number> | null;
}

/** A patch in the mended mesh: its triangles are numbered from `first` up to before `end`. */
export interface MeshPatch extends Omit<HolePatch, 'positions' | 'triangles'> {
  readonly first: number;
  readonly end: number;
}

export interface MendedMesh {
  readonly mesh: TriangleMesh;
  readonly repairs: readonly MeshRepair[];
  readonly patches: readonly MeshPatch[];
  /** Single points that stood far off the surface, by a triangle of the mended mesh. */
  readonly spikes: readonly FlatSpike[];
  /** Borders of the holes that were left open, as vertices. */
  readonly openHoles: readonly { readonly loop: Uint32Array; readonly span: number }[];
  /** Per vertex 1 on the surface's outside border, 2 on that of a hole which was left open; null: there is neither. */
  readonly onBorder: Uint8Array | null;
  /** Triangles at edges where the surface has no definite outside, whichever way they are turned. */
  readonly oneSided: readonly number[];
  /** Of the mended mesh. */
  readonly faces: FaceSums;
}

/** Their effect is told by the spikes themselves, since their triangles no longer are what they were. */
export const spikesFlattened = 'single points far off the surface, laid into it';

/** A border left open that is shorter across is a flap of a few triangles, not a tear, mm (common practice, no source). */
const leastTearMm = 1;

/**
 * Repairs what can be repaired safely: collapsed and doubled triangles, cracks, specks, shells given twice, triangles that
 * face the wrong way, a closed body inside out, spikes, small holes. A sound mesh is recognised in one look and returned as
 * it is.
 * @param mesh in millimetres; it is not changed
 * @param stepMm spacing of representable coordinates
 */
export function mendMesh(mesh: TriangleMesh, stepMm: number): MendedMesh {
  const m = new Mending(mesh);
  m.dropUnsound();
  m.pair();
  const toleranceMm = () => Math.max(16 * stepMm, 1e-5 * Math.hypot(...boxSides(mesh.positions)));
  m.dropCopies(toleranceMm);
  if (m.isOpen) m.closeCracks(toleranceMm());
  m.dropSpecks();
  if (m.isOpen) m.turnAlike();
  m.lookAtFaces();
  if (m.isOpen) m.fillHoles();
  if (!m.isOpen) m.turnOutside();
  return m.result();
}

class Mending {
  private readonly repairs: Noted[] = [];
  private readonly patches: MeshPatch[] = [];
  private spikes: FlatSpike[] = [];
  private readonly openHoles: { loop: Uint32Array; span: number }[] = [];
  private onBorder: Uint8Array | null = null;
  private oneSided: readonly number[] = [];
  private opposite: Int32Array = new Int32Array();
  /** The mesh whose faces were looked at last, and what they told. */
  private looked: { readonly mesh: TriangleMesh; readonly faces: FaceSums } | null = null;
  isOpen = false;

  constructor(private mesh: TriangleMesh) {}

  result(): MendedMesh {
    const { mesh, patches, spikes, openHoles, onBorder, oneSided } = this;
    return {
      mesh,
      repairs: this.repairs.filter(({ count }) => count > 0),
      patches,
      spikes,
      openHoles,
      onBorder,
      oneSided,
      faces: this.faces(),
    };
  }

  /** Pairs the half-edges anew, if there are any without a partner: a closed mesh needs no pairs. */
  pair(): void {
    const { triangles, positions } = this.mesh;
    this.isOpen = !coherenceOf(this.mesh).isBalanced;
    this.opposite = this.isOpen ? oppositeHalfEdges(triangles, positions.length / 3) : new Int32Array();
  }

  dropUnsound(): void {
    const found = soundTriangles(this.mesh);
    if (found === null) return;
    const number = this.keep(found.stays);
    const effect = new Map<number, number>();
    for (const { kept, sameWay } of found.doubles) {
      const t = number[kept]!;
      effect.set(t, (effect.get(t) ?? 0) + (sameWay ? -1 : 1));
    }
    this.note('triangles with two corners in one point, dropped', found.collapsed, new Map());
    this.note('triangles given twice, the second dropped', found.doubles.length, effect);
  }

  closeCracks(toleranceMm: number): void {
    const welded = weldCracks(this.mesh, this.opposite, toleranceMm);
    if (welded === null) return;
    this.mesh = welded.mesh;
    this.note(`points of cracks under ${figure(toleranceMm)} mm, joined`, welded.joined, null);
    this.dropUnsound();
    this.pair();
  }

  dropCopies(toleranceMm: () => number): void {
    if (coherenceOf(this.mesh).isOneShell) return;
    this.dropStrays(copiedShells(this.mesh, toleranceMm()), 'shells given twice, the second dropped');
  }

  dropSpecks(): void {
    this.dropStrays(specks(this.mesh), 'isolated specks, dropped');
  }

  private dropStrays(found: StrayShells | null, what: string): void {
    if (found === null) return;
    this.keep(found.stays);
    this.note(what, found.count, new Map());
    this.pair();
  }

  turnAlike(): void {
    const { turn, stuck } = facingWrong(this.mesh, this.opposite);
    this.oneSided = stuck;
    if (turn.length === 0) return;
    this.turn(turn);
    this.note('triangles that faced the wrong way, turned', turn.length, new Map(turn.map((t) => [t, 2])));
    this.pair();
  }

  /** A closed mesh that holds less than nothing is inside out. */
  turnOutside(): void {
    if (this.faces().sixVolumes >= 0) return;
    this.turn(Array.from({ length: this.mesh.triangles.length / 3 }, (_, t) => t));
    this.note('a body inside out, turned', 1, new Map());
  }

  /** Takes spikes down. Slivers lie in the surface and do no harm: they are counted, and stay. */
  lookAtFaces(): void {
    const flat = flattenSpikes(this.mesh, this.faces().tips);
    if (flat !== null) {
      this.mesh = flat.mesh;
      this.spikes = flat.spikes;
      this.note(spikesFlattened, flat.spikes.length, new Map());
    }
    this.note('slivers, over a thousand times as long as wide, kept', this.faces().slivers, new Map());
  }

  private faces(): FaceSums {
    if (this.looked?.mesh !== this.mesh) this.looked = { mesh: this.mesh, faces: faceSums(this.mesh) };
    return this.looked.faces;
  }

  fillHoles(): void {
    const loops = openLoops(this.mesh.triangles, this.opposite);
    const trianglesAt = aroundVertices(this.mesh);
    const positions: number[] = [];
    const triangles: number[] = [];
    const objects: number[] = [];
    const effect = new Map<number, number>();
    let cracks = 0;
    for (const loop of loops) {
      const patch = fillHole(this.mesh, loop, trianglesAt, (this.mesh.positions.length + positions.length) / 3);
      if (!('triangles' in patch)) {
        if (patch.span < leastTearMm) continue;
        this.onBorder ??= new Uint8Array(this.mesh.positions.length / 3);
        for (const v of loop) this.onBorder[v] = patch.why === 'outside' ? 1 : 2;
        if (patch.why !== 'outside') this.openHoles.push({ loop, span: patch.span });
        continue;
      }
      const { positions: own, triangles: corners, ...about } = patch;
      if (patch.area === 0) cracks++;
      const first = (this.mesh.triangles.length + triangles.length) / 3;
      for (const value of own) positions.push(value);
      for (const v of corners) triangles.push(v);
      let object = 0;
      trianglesAt(loop[0]!, (t) => {
        object = this.mesh.objectOf?.[t] ?? 0;
      });
      for (let t = 0; t < corners.length / 3; t++) {
        objects.push(object);
        effect.set(first + t, 1);
      }
      this.patches.push({ ...about, first, end: first + corners.length / 3 });
    }
    if (this.patches.length === 0) return;
    const { mesh } = this;
    this.mesh = {
      ...mesh,
      positions: joined(Float64Array, mesh.positions, positions),
      triangles: joined(Uint32Array, mesh.triangles, triangles),
      ...(mesh.objectOf && { objectOf: joined(Uint32Array, mesh.objectOf, objects) }),
    };
    this.note('cracks without width, closed', cracks, new Map());
    this.note(
      'holes, filled with a patch that carries on the surface round them',
      this.patches.length - cracks,
      effect,
    );
    this.pair();
  }

  private turn(triangles: readonly number[]): void {
    const turned = this.mesh.triangles.slice();
    turnRound(turned, triangles);
    this.mesh = { ...this.mesh, triangles: turned };
    // What was noted of a triangle is noted of its present side.
    const turns = new Set(triangles);
    this.spikes = this.spikes.map((spike) =>
      turns.has(spike.triangle) ? { ...spike, sweptMm3: -spike.sweptMm3 } : spike,
    );
    for (const { effect } of this.repairs) {
      for (const t of triangles) {
        const times = effect?.get(t);
        if (times !== undefined) effect!.set(t, -times);
      }
    }
  }

  private keep(stays: Uint8Array): Int32Array {
    const { mesh, number } = keepTriangles(this.mesh, stays);
    this.mesh = mesh;
    for (const repair of this.repairs) {
      if (repair.effect === null) continue;
      repair.effect = new Map([...repair.effect].map(([t, times]) => [number[t]!, times]));
      repair.effect.delete(-1);
    }
    return number;
  }

  private note(what: string, count: number, effect: Map<number, number> | null): void {
    const before = this.repairs.find((repair) => repair.what === what);
    if (before === undefined) this.repairs.push({ what, count, effect });
    else {
      before.count += count;
      for (const [t, times] of effect ?? []) before.effect?.set(t, times);
    }
  }
}

function joined<T extends Float64Array | Uint32Array>(
  kind: new (size: number) => T,
  first: T,
  more: readonly number[],
): T {
  const out = new kind(first.length + more.length);
  out.set(first);
  out.set(more, first.length);
  return out;
}

function figure(mm: number): string {
  return mm.toPrecision(1);
}
