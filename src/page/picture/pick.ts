import { FloatType, NearestFilter, RGBAFormat, WebGLRenderTarget } from 'three';
import type { PlateScene } from './scene.js';

/** What lies under the pointer. */
export interface Picked {
  /** Cavity number; 0 for the plate itself. */
  readonly number: number;
  readonly thicknessMm: number | null;
  readonly depthMm: number;
  readonly hiddenMm: number;
}

/** Asks the graphics card what it drew at one point: one pixel of the same scene, in numbers instead of colours. */
export class Picker {
  private readonly target = new WebGLRenderTarget(1, 1, {
    type: FloatType,
    format: RGBAFormat,
    minFilter: NearestFilter,
    magFilter: NearestFilter,
  });
  private readonly pixel = new Float32Array(4);

  /** @param x, y pointer within the canvas, CSS pixels */
  at(view: PlateScene, x: number, y: number): Picked | null {
    const { webgl, scene, canvas } = view;
    const { camera } = view.eye;
    const [width, height] = [canvas.clientWidth, canvas.clientHeight];
    if (x < 0 || y < 0 || x >= width || y >= height) return null;
    camera.setViewOffset(width, height, Math.floor(x), Math.floor(y), 1, 1);
    view.wear('pick');
    webgl.setRenderTarget(this.target);
    webgl.setClearColor(0, 0);
    webgl.clear();
    webgl.render(scene, camera);
    webgl.readRenderTargetPixels(this.target, 0, 0, 1, 1, this.pixel);
    webgl.setRenderTarget(null);
    view.wear('shown');
    camera.clearViewOffset();
    const [number, thickness, depth, hidden] = this.pixel as unknown as [number, number, number, number];
    if (number < 1) return null;
    return {
      number: Math.round(number),
      thicknessMm: thickness < 0 ? null : thickness,
      depthMm: depth,
      hiddenMm: hidden,
    };
  }
}
