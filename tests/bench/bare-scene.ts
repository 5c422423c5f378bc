import {
  AmbientLight,
  BufferAttribute,
  BufferGeometry,
  DirectionalLight,
  DoubleSide,
  Mesh,
  MeshLambertMaterial,
  PerspectiveCamera,
  Scene,
  WebGLRenderer,
} from 'three';
import type { Shapes } from '../../src/page/picture/shapes.js';

declare global {
  interface Window {
    bareScene?: (shapes: Shapes, over: HTMLCanvasElement) => { turn(frames: number): Promise<number>; hidden: boolean };
  }
}

/** The same surfaces drawn by three alone, in its plainest lit material, over the page's own picture. */
window.bareScene = (shapes, over) => {
  const canvas = document.createElement('canvas');
  const { left, top, width, height } = over.getBoundingClientRect();
  canvas.style.cssText = `position:fixed;left:${left}px;top:${top}px;width:${width}px;height:${height}px`;
  document.body.append(canvas);
  const renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
  renderer.setSize(width, height, false);
  const camera = new PerspectiveCamera(28, width / height, 1, 5000);
  camera.up.set(0, 0, 1);
  const scene = new Scene();
  scene.add(new AmbientLight(), new DirectionalLight());
  for (const surface of [shapes.plate, ...shapes.bodies]) {
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(surface.positions, 3));
    geometry.setAttribute('normal', new BufferAttribute(surface.normals, 4, true));
    geometry.setIndex(new BufferAttribute(surface.triangles, 1));
    scene.add(new Mesh(geometry, new MeshLambertMaterial({ side: DoubleSide })));
  }
  const [, , , x, y] = shapes.plate.boxMm;
  let angle = 0;
  return {
    get hidden() {
      return canvas.hidden === true;
    },
    set hidden(value) {
      canvas.hidden = value;
    },
    /** @returns ms a frame */
    async turn(frames) {
      const start = performance.now();
      for (let i = 0; i < frames; i++) {
        angle += Math.PI / 30;
        camera.position.set(x / 2 + 300 * Math.sin(angle), y / 2 - 300 * Math.cos(angle), 400);
        camera.lookAt(x / 2, y / 2, 0);
        renderer.render(scene, camera);
        await new Promise(requestAnimationFrame);
      }
      // Waits until the last frame is really drawn.
      const gl = renderer.getContext();
      gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
      return (performance.now() - start) / frames;
    },
  };
};
