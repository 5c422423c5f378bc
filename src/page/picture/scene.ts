import {
  Box3,
  BufferAttribute,
  BufferGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  PerspectiveCamera,
  Scene,
  Sphere,
  Vector3,
  WebGLRenderer,
} from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
import type { SectionLine } from './section.js';
import { type Colouring, colourings, type Materials, materialsFor, shared } from './shader.js';
import type { Shapes, Surface } from './shapes.js';

const linear = (hex: number): Vector3 =>
  new Vector3(...[hex >> 16, (hex >> 8) & 255, hex & 255].map((part) => (part / 255) ** 2.2));
const plaster = linear(0xb9bdbb);
const silicone = linear(0xdcd6cc);
const cutFace = linear(0x7d8584);

interface Body {
  readonly number: number;
  readonly mesh: Mesh;
  readonly materials: Materials;
  /** Turns the lifted body over round its own middle. */
  readonly pivot: Group;
  readonly wallIndices: number;
  readonly allIndices: number;
  readonly depthMm: number;
}

/** The plate in three dimensions: what is drawn, from where, and in which colours. Draws only when something changed. */
export class PlateScene {
  readonly camera = new PerspectiveCamera(28, 1, 1, 5000);
  readonly controls: OrbitControls;
  readonly scene = new Scene();
  private readonly renderer: WebGLRenderer;
  private plate: { mesh: Mesh; materials: Materials; openIndices: number; allIndices: number } | undefined;
  private readonly cutLine = new LineSegments(new BufferGeometry(), new LineBasicMaterial({ color: 0x16202b }));
  private isCut = false;
  private isLifted = false;
  private bodies: Body[] = [];
  private sizeMm: [number, number] = [200, 150];
  private asked = 0;
  /** The direction of the last fit, as long as nobody has moved the picture since. */
  private fitted: Vector3 | null = null;
  /** Called after every frame: labels follow. */
  afterFrame: () => void = () => {};

  /** @throws Error where the browser has no WebGL 2 */
  constructor(readonly canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, powerPreference: 'high-performance' });
    this.renderer.setClearColor(0, 0);
    this.renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
    this.camera.up.set(0, 0, 1);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener('change', () => this.redraw());
    this.controls.addEventListener('start', () => {
      this.fitted = null;
    });
  }

  /**
   * Takes over the shapes of a survey; what was shown before is given back to the card.
   * @param solid whether the plate is a closed block, whose cut faces are then shown filled
   */
  show(shapes: Shapes | null, sizeMm: [number, number], solid: boolean): void {
    this.clear();
    this.sizeMm = sizeMm;
    if (shapes === null) {
      this.redraw();
      return;
    }
    const materials = materialsFor({ number: 0, coloured: false, solid, base: plaster, cutColour: cutFace });
    const mesh = new Mesh(geometryOf(shapes.plate), materials.shown);
    this.plate = { mesh, materials, openIndices: shapes.plate.openIndices, allIndices: shapes.plate.triangles.length };
    this.scene.add(mesh);
    this.bodies = shapes.bodies.map((body) => {
      const look = materialsFor({
        number: body.number,
        coloured: true,
        solid: false,
        base: silicone,
        cutColour: cutFace,
      });
      const geometry = geometryOf(body);
      geometry.setAttribute('thickness', new BufferAttribute(body.thicknessMm, 1));
      geometry.setAttribute('hidden', new BufferAttribute(body.hiddenMm, 1));
      const box = geometry.boundingBox!;
      const centre = box.getCenter(new Vector3());
      const inner = new Mesh(geometry, look.shown);
      inner.position.copy(centre).negate();
      const pivot = new Group();
      pivot.position.copy(centre);
      pivot.add(inner);
      this.scene.add(pivot);
      return {
        number: body.number,
        mesh: inner,
        materials: look,
        pivot,
        wallIndices: body.wallIndices,
        allIndices: body.triangles.length,
        depthMm: -box.min.z,
      };
    });
    this.scene.add(this.cutLine);
    this.lift(0, false);
    this.fit();
  }

  private clear(): void {
    for (const { mesh, materials } of [...(this.plate ? [this.plate] : []), ...this.bodies]) {
      mesh.geometry.dispose();
      materials.shown.dispose();
      materials.pick.dispose();
    }
    this.scene.clear();
    this.plate = undefined;
    this.bodies = [];
  }

  /** Lifts the fill bodies out of the plate. @param share 0 (in the mould) to 1; @param turned face up as on the board */
  lift(share: number, turned: boolean): void {
    const deepest = Math.max(1, ...this.bodies.map((body) => body.depthMm));
    for (const { pivot, mesh, materials, wallIndices, allIndices, depthMm } of this.bodies) {
      pivot.position.z = -depthMm / 2 + share * (3 * deepest + 0.08 * this.sizeMm[0]);
      pivot.rotation.y = turned ? Math.PI * Math.min(1, share * 2) : 0;
      // In the mould the opening is left open, so that the wall can be seen.
      mesh.geometry.setDrawRange(0, share > 0 ? allIndices : wallIndices);
      materials.shown.uniforms.lean!.value = share > 0 ? 0 : 0.25;
    }
    this.isLifted = share > 0;
    this.leaveOut();
    this.redraw();
  }

  /** Leaves out the wall of the plate that the bodies cover, as long as they lie in it and nothing is cut open. */
  private leaveOut(): void {
    if (this.plate === undefined) return;
    const { mesh, openIndices, allIndices } = this.plate;
    mesh.geometry.setDrawRange(0, this.isLifted || this.isCut ? allIndices : openIndices);
  }

  /** How far a body is lifted now, mm. */
  get liftedMm(): number {
    const body = this.bodies[0];
    return body === undefined ? 0 : body.pivot.position.z + body.depthMm / 2;
  }

  /** @param tearMm thickness under which a cavity's piece tears, by its number */
  colour(by: Colouring | null, range: readonly [number, number], tearMm: (number: number) => number): void {
    shared.mode.value = by === null ? 0 : 1 + colourings.indexOf(by);
    shared.range.value.set(...range);
    for (const { number, materials } of this.bodies) materials.shown.uniforms.tearMm!.value = tearMm(number);
    this.redraw();
  }

  /** Cuts away what lies beyond `at` along an axis of the plate; null: nothing. */
  cut(axis: 'x' | 'y', at: number | null): void {
    shared.cutNormal.value.set(axis === 'x' ? 1 : 0, axis === 'y' ? -1 : 0, 0);
    shared.cutAt.value = at === null ? 1e9 : axis === 'x' ? at : -at;
    this.isCut = at !== null;
    this.leaveOut();
    this.redraw();
  }

  /** Draws where the plane of the cut meets the walls, so that the section is read off the picture too. */
  outline(lines: readonly SectionLine[]): void {
    this.cutLine.geometry.dispose();
    this.cutLine.geometry = new BufferGeometry();
    this.cutLine.visible = lines.length > 0;
    if (lines.length > 0) {
      // On the side that was cut away, or the face would hide it.
      const normal = shared.cutNormal.value;
      const at = (shared.cutAt.value + 0.05) * (normal.x + normal.y);
      const points = lines.flatMap(({ ends: [u1, z1, u2, z2] }) =>
        normal.x !== 0 ? [at, u1, z1, at, u2, z2] : [u1, at, z1, u2, at, z2],
      );
      this.cutLine.geometry.setAttribute('position', new BufferAttribute(Float32Array.from(points), 3));
    }
    this.redraw();
  }

  pick(number: number | null): void {
    for (const { materials } of [...(this.plate ? [this.plate] : []), ...this.bodies]) {
      materials.shown.uniforms.picked!.value = number ?? 0;
    }
    this.redraw();
  }

  /** The whole plate in the picture, from the present direction. */
  fit(): void {
    const direction = this.camera.position.clone().sub(this.controls.target);
    if (direction.lengthSq() < 1 || this.controls.target.lengthSq() === 0) direction.set(0, -0.62, 1);
    this.look(direction.normalize());
  }

  fromAbove(): void {
    this.look(new Vector3(0, -1e-4, 1).normalize());
  }

  /** Goes as near as the plate's box allows, looking at its middle. */
  private look(direction: Vector3): void {
    const [length, width] = this.sizeMm;
    const target = new Vector3(length / 2, width / 2, 0);
    const right = new Vector3().crossVectors(this.camera.up, direction).normalize();
    const up = new Vector3().crossVectors(direction, right);
    const tanUp = Math.tan((this.camera.fov * Math.PI) / 360) * 0.92;
    const tanRight = tanUp * this.camera.aspect;
    let away = 20;
    for (const [x, y] of [
      [0, 0],
      [length, 0],
      [0, width],
      [length, width],
    ] as const) {
      const corner = new Vector3(x, y, 0).sub(target);
      const nearer = corner.dot(direction);
      away = Math.max(away, nearer + Math.abs(corner.dot(right)) / tanRight, nearer + Math.abs(corner.dot(up)) / tanUp);
    }
    this.controls.target.copy(target);
    this.camera.position.copy(target).addScaledVector(direction, away);
    this.fitted = direction;
    this.controls.update();
    this.redraw();
  }

  /** Turns the eye round the plate, in degrees, as the arrow keys do. */
  turn(sideways: number, upwards: number): void {
    this.fitted = null;
    const { target } = this.controls;
    const arm = this.camera.position.clone().sub(target);
    const flat = Math.hypot(arm.x, arm.y);
    const azimuth = Math.atan2(arm.y, arm.x) + (sideways * Math.PI) / 180;
    const height = Math.atan2(arm.z, flat) + (upwards * Math.PI) / 180;
    const limit = Math.PI / 2 - 1e-4;
    const held = Math.min(limit, Math.max(-limit, height));
    const length = arm.length();
    arm.set(Math.cos(azimuth) * Math.cos(held), Math.sin(azimuth) * Math.cos(held), Math.sin(held));
    this.camera.position.copy(target).addScaledVector(arm, length);
    this.controls.update();
    this.redraw();
  }

  /** @param factor below 1 goes nearer */
  zoom(factor: number): void {
    this.fitted = null;
    const arm = this.camera.position.clone().sub(this.controls.target).multiplyScalar(factor);
    this.camera.position.copy(this.controls.target).add(arm);
    this.controls.update();
    this.redraw();
  }

  /** Moves the picture by shares of its height. */
  shift(right: number, up: number): void {
    this.fitted = null;
    const high =
      2 * this.camera.position.distanceTo(this.controls.target) * Math.tan((this.camera.fov * Math.PI) / 360);
    const move = new Vector3(right * high, up * high, 0).applyQuaternion(this.camera.quaternion);
    this.controls.target.add(move);
    this.camera.position.add(move);
    this.controls.update();
    this.redraw();
  }

  resize(width: number, height: number): void {
    if (width < 1 || height < 1) return;
    this.renderer.setSize(width, height, false);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    if (this.fitted !== null) this.look(this.fitted);
    this.redraw();
  }

  /** What each mesh is drawn with: the shown materials, or for a moment those that are asked. */
  wear(kind: keyof Materials): void {
    for (const { mesh, materials } of [...(this.plate ? [this.plate] : []), ...this.bodies])
      mesh.material = materials[kind];
  }

  get webgl(): WebGLRenderer {
    return this.renderer;
  }

  /** The nearer the first plane that is told apart stands to the plate, the finer are feathered edges told from their lid. */
  private fitDepth(): void {
    const away = this.camera.position.distanceTo(this.controls.target);
    const near = Math.max(0.5, away - 1.5 * Math.hypot(...this.sizeMm));
    const far = away + 3 * Math.hypot(...this.sizeMm);
    if (near === this.camera.near && far === this.camera.far) return;
    this.camera.near = near;
    this.camera.far = far;
    this.camera.updateProjectionMatrix();
  }

  redraw(): void {
    if (this.asked !== 0) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      this.fitDepth();
      this.renderer.render(this.scene, this.camera);
      this.afterFrame();
    });
  }
}

function geometryOf(surface: Surface): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(surface.positions, 3));
  geometry.setAttribute('normal', new BufferAttribute(surface.normals, 4, true));
  geometry.setIndex(new BufferAttribute(surface.triangles, 1));
  // Known from the worker: three would look at every vertex again, here.
  const [xMin, yMin, zMin, xMax, yMax, zMax] = surface.boxMm;
  geometry.boundingBox = new Box3(new Vector3(xMin, yMin, zMin), new Vector3(xMax, yMax, zMax));
  geometry.boundingSphere = geometry.boundingBox.getBoundingSphere(new Sphere());
  return geometry;
}
