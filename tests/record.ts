import { mkdirSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect } from 'vitest';

/** One figure of ours against a figure from outside the project. */
export interface Check {
  /** What is compared: `cone r 8, h 6: volume`. */
  readonly check: string;
  /** Where the expected figure comes from. */
  readonly source: string;
  readonly unit: string;
  readonly expected: number;
  readonly ours: number;
  /** Largest difference that passes, in the unit. */
  readonly allowed: number;
  /** Why the difference may be that large. */
  readonly because: string;
}

/** A broken input that must not give a number. */
export interface Refusal {
  readonly what: string;
  /** Of the fault that the survey must end in, or of the stop that must stand in it. */
  readonly code: string;
}

export interface Checks {
  (check: Check): void;
  /** Holds that a broken input is refused with its own code, and keeps it for docs/validation.md. */
  refused(refusal: Refusal, code: string | undefined): void;
}

/** What a test file leaves for docs/validation.md. */
export interface KeptChecks {
  readonly title: string;
  /** Below tests/. */
  readonly file: string;
  readonly checks: readonly (Check & { readonly count: number })[];
  readonly refusals: readonly Refusal[];
}

/** Folder of the figures of the last test run; the page docs/validation.md is written from them. */
export const checksFolder = join(import.meta.dirname, '../.cache/checks');

/**
 * For a test file: returns a function that holds a check and keeps its figures for docs/validation.md. Of several calls
 * with the same `check` (seeds, orientations) the one with the largest difference is kept.
 */
export function checksOf(fileUrl: string, title: string): Checks {
  const kept = new Map<string, Check & { count: number }>();
  const refusals = new Map<string, Refusal>();
  afterAll(() => {
    mkdirSync(checksFolder, { recursive: true });
    const file = relative(import.meta.dirname, fileURLToPath(fileUrl));
    writeFileSync(
      join(checksFolder, `${file.replaceAll('/', '-')}.json`),
      JSON.stringify({
        title,
        file,
        checks: [...kept.values()],
        refusals: [...refusals.values()],
      } satisfies KeptChecks),
    );
  });
  const agrees = (check: Check): void => {
    const difference = Math.abs(check.ours - check.expected);
    const before = kept.get(check.check);
    const count = (before?.count ?? 0) + 1;
    const worse = before === undefined || difference > Math.abs(before.ours - before.expected);
    kept.set(check.check, { ...(worse ? check : before), count });
    expect(difference, `${check.check}: ours ${check.ours}, expected ${check.expected}`).toBeLessThanOrEqual(
      check.allowed,
    );
  };
  const refused = (refusal: Refusal, code: string | undefined): void => {
    refusals.set(refusal.what, refusal);
    expect(code, refusal.what).toBe(refusal.code);
  };
  return Object.assign(agrees, { refused });
}

/** What the facets themselves lack of the smooth body, as part of a check's name; nothing where they are the body. */
export function lessFacets(facetsMm3: number, smoothMm3: number): string {
  const share = facetsMm3 / smoothMm3;
  return Math.abs(share) < 1e-9 ? '' : ` (less the facets' own ${share.toExponential(1)})`;
}
