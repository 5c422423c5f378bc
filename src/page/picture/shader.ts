import {
  DataTexture,
  DoubleSide,
  GLSL3,
  LinearFilter,
  RawShaderMaterial,
  RGBAFormat,
  SRGBColorSpace,
  Vector2,
  Vector3,
} from 'three';
import { alarmColour, rampColour } from '../../base/ramp.js';

/** What the colours of the picture show. */
export const colourings = ['thickness', 'depth', 'margin', 'undercut'] as const;
export type Colouring = (typeof colourings)[number];

/** The ramp as a row of texels. */
function rampTexture(): DataTexture {
  const texels = new Uint8Array(256 * 4);
  for (let i = 0; i < 256; i++) texels.set([...rampColour(i / 255), 255], 4 * i);
  const texture = new DataTexture(texels, 256, 1, RGBAFormat);
  texture.colorSpace = SRGBColorSpace;
  texture.minFilter = texture.magFilter = LinearFilter;
  texture.needsUpdate = true;
  return texture;
}

/** Uniforms that all surfaces share; set once, seen by every material. */
export const shared = {
  ramp: { value: rampTexture() },
  /** 0 none, otherwise 1 + index in `colourings`. */
  mode: { value: 1 },
  /** Values at the two ends of the ramp, mm. Thickness runs by its square root: the thin end is what matters. */
  range: { value: new Vector2(0, 6) },
  /** What lies on the far side of this plane is cut away: normal and distance in the plate frame. */
  cutNormal: { value: new Vector3(0, 1, 0) },
  cutAt: { value: 1e9 },
  alarm: { value: new Vector3(...alarmColour.map((part) => (part / 255) ** 2.2)) },
};

const vertexShader = `
precision highp float;
in vec3 position;
in vec4 normal;
in float thickness;
in float hidden;
uniform mat4 modelViewMatrix, projectionMatrix;
uniform mat3 normalMatrix;
uniform float lean;
out vec3 vNormal, vPlace;
out vec2 vValues;
void main() {
  vec4 eye = modelViewMatrix * vec4(position, 1.0);
  // The wall of a fill body lies in the plate's own; it is drawn a little nearer to the eye, or the two would flicker.
  eye.xyz -= lean * normalize(eye.xyz);
  vNormal = normalMatrix * normal.xyz;
  vPlace = position;
  vValues = vec2(thickness, hidden);
  gl_Position = projectionMatrix * eye;
}`;

const common = `
precision highp float;
in vec3 vNormal, vPlace;
in vec2 vValues;
uniform vec3 cutNormal;
uniform float cutAt, number;
`;

const fragmentShader = `${common}
uniform sampler2D ramp;
uniform int mode;
uniform vec2 range;
uniform float tearMm;
uniform bool coloured, solid;
uniform mat3 normalMatrix;
uniform vec3 base, cutColour, alarm;
uniform float picked;
out vec4 colour;
float share(float value) {
  float even = clamp((value - range.x) / (range.y - range.x), 0.0, 1.0);
  return mode == 1 ? sqrt(even) : even;
}
float stripes(float wide) { return step(0.5, fract((gl_FragCoord.x + gl_FragCoord.y) / wide)); }
vec3 faceNormal() {
  vec3 n = normalMatrix * cross(dFdx(vPlace), dFdy(vPlace));
  return n.z < 0.0 ? -n : n;
}
void main() {
  if (dot(vPlace, cutNormal) > cutAt) discard;
  // At an edge of the plate there is no one normal, and the vertex holds none: there the face's own is taken.
  vec3 n = length(vNormal) < 0.9 ? faceNormal() : gl_FrontFacing ? vNormal : -vNormal;
  n = normalize(n);
  vec3 paint = base;
  if (coloured && mode > 0) {
    float value = mode == 1 ? vValues.x : mode == 2 ? -vPlace.z : mode == 3 ? vValues.x - tearMm : vValues.y;
    bool known = !isnan(value);
    bool warn = mode == 3 ? value < 0.0 : mode == 4 ? value > 0.05 : false;
    if (known && !(mode == 4 && !warn)) paint = texture(ramp, vec2(clamp(share(value), 0.002, 0.998), 0.5)).rgb;
    if (mode == 4 && !warn) paint = mix(base, vec3(1.0), 0.45);
    if (known && warn) paint = mix(paint, alarm, stripes(9.0));
  }
  if (solid && !gl_FrontFacing) {
    // The inside of a plate that was cut open: flat, so that it reads as the material's own face.
    colour = vec4(pow(cutColour, vec3(1.0 / 2.2)), 1.0);
    return;
  }
  float key = max(0.0, dot(n, normalize(vec3(-0.35, 0.55, 0.75))));
  float light = 0.58 + 0.47 * key + 0.06 * n.y;
  vec3 lit = paint * light;
  if (picked > 0.5 && picked != number) lit = mix(lit, vec3(dot(lit, vec3(0.3, 0.6, 0.1))), 0.35);
  colour = vec4(pow(clamp(lit, 0.0, 1.0), vec3(1.0 / 2.2)), 1.0);
}`;

/** For picking: cavity number, thickness, depth and hidden distance of what the pointer is over. */
const pickShader = `${common}
out vec4 colour;
void main() {
  if (dot(vPlace, cutNormal) > cutAt) discard;
  colour = vec4(number, isnan(vValues.x) ? -1.0 : vValues.x, -vPlace.z, vValues.y);
}`;

export interface Look {
  /** Cavity number; 0 for the plate. */
  readonly number: number;
  readonly coloured: boolean;
  /** Closed block whose cut faces are painted flat. */
  readonly solid: boolean;
  readonly base: Vector3;
  readonly cutColour: Vector3;
}

export interface Materials {
  readonly shown: RawShaderMaterial;
  readonly pick: RawShaderMaterial;
}

/** The two materials of one surface: the one that is looked at, and the one that is asked what lies under the pointer. */
export function materialsFor(look: Look): Materials {
  const uniforms = {
    ...shared,
    number: { value: look.number },
    coloured: { value: look.coloured },
    solid: { value: look.solid },
    base: { value: look.base },
    cutColour: { value: look.cutColour },
    picked: { value: 0 },
    lean: { value: 0 },
    tearMm: { value: 0 },
  };
  const settings = { glslVersion: GLSL3, vertexShader, uniforms, side: DoubleSide };
  return {
    shown: new RawShaderMaterial({ ...settings, fragmentShader }),
    pick: new RawShaderMaterial({ ...settings, fragmentShader: pickShader, blending: 0 }),
  };
}
