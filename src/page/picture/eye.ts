import { PerspectiveCamera, Vector3 } from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';

/** From where the plate is looked at, and every way to change that: by hand, by key, by button. */
export class Eye {
  readonly camera = new PerspectiveCamera(28, 1, 1, 5000);
  private readonly controls: OrbitControls;
  private sizeMm: readonly [number, number] = [200, 150];
  /** The direction of the last fit, as long as nobody has moved the picture since. */
  private fitted: Vector3 | null = null;

  /** @param moved called whenever the picture has to be drawn anew */
  constructor(
    canvas: HTMLCanvasElement,
    private readonly moved: () => void,
  ) {
    this.camera.up.set(0, 0, 1);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener('change', () => this.moved());
    this.controls.addEventListener('start', () => {
      this.fitted = null;
    });
  }

  /** Another plate, seen whole. */
  lookAt(sizeMm: readonly [number, number]): void {
    this.sizeMm = sizeMm;
    this.fit();
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
    this.moved();
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
    this.moved();
  }

  /** @param factor below 1 goes nearer */
  zoom(factor: number): void {
    this.fitted = null;
    const arm = this.camera.position.clone().sub(this.controls.target).multiplyScalar(factor);
    this.camera.position.copy(this.controls.target).add(arm);
    this.controls.update();
    this.moved();
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
    this.moved();
  }

  resize(aspect: number): void {
    this.camera.aspect = aspect;
    this.camera.updateProjectionMatrix();
    if (this.fitted !== null) this.look(this.fitted);
  }

  /** The nearer the first plane that is told apart stands to the plate, the finer are feathered edges told from their lid. */
  fitDepth(): void {
    const away = this.camera.position.distanceTo(this.controls.target);
    const near = Math.max(0.5, away - 1.5 * Math.hypot(...this.sizeMm));
    const far = away + 3 * Math.hypot(...this.sizeMm);
    if (near === this.camera.near && far === this.camera.far) return;
    this.camera.near = near;
    this.camera.far = far;
    this.camera.updateProjectionMatrix();
  }
}
