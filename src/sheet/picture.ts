/** A picture as a list of marks in mm, drawn as SVG or as pixels: both show the same. */

export type Colour = readonly [number, number, number];

export const ink: Colour = [24, 26, 32];
export const paper: Colour = [255, 255, 255];

export type PictureMark =
  | { readonly kind: 'rect'; readonly box: readonly [number, number, number, number]; readonly fill: Colour }
  | {
      readonly kind: 'line';
      /** x, y per point. */
      readonly points: readonly number[];
      readonly closed?: boolean;
      readonly widthMm: number;
      readonly colour: Colour;
    }
  | { readonly kind: 'area'; readonly points: readonly number[]; readonly fill: Colour }
  | {
      readonly kind: 'text';
      readonly at: readonly [number, number];
      readonly text: string;
      /** Height of a digit. */
      readonly highMm: number;
      readonly anchor: 'start' | 'middle' | 'end';
      readonly colour: Colour;
      /** A rim of this colour round the letters keeps them readable on any ground. */
      readonly halo?: Colour;
    }
  | {
      readonly kind: 'pixels';
      readonly at: readonly [number, number];
      readonly width: number;
      readonly height: number;
      readonly pixelsPerMm: number;
      /** Red, green, blue, alpha; alpha is 0 or 255. */
      readonly rgba: Uint8Array;
    };

export interface Picture {
  readonly widthMm: number;
  readonly heightMm: number;
  /** What it shows, for who cannot see it. */
  readonly title: string;
  readonly marks: readonly PictureMark[];
}
