/**
 * What the scraper leaves as the top of the fill, as heights over the plate frame's z = 0. Subtracted from z before
 * anything is measured, which keeps volumes: all that comes after sees a scrape surface at z = 0.
 */
export interface ScrapeSurface {
  readonly kind: 'flat' | 'bowed';
  heightAt(x: number, y: number): number;
}

export const flatSurface: ScrapeSurface = { kind: 'flat', heightAt: () => 0 };

/** Deviations of the land under this are rounding, not noise, mm. */
export const roundingMm = 3e-4;
