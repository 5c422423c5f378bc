/** A finding: something the person should know about a plate or a plan that could nevertheless be computed. */
export type Severity = 'note' | 'caution' | 'stop';

export interface Finding {
  /** Stable, kebab-case: `volume-methods-differ`. */
  readonly code: string;
  readonly severity: Severity;
  /** What it is and what to do at the bench, in plain words. */
  readonly message: string;
  /** Number of the cavity it is about. */
  readonly cavity?: number;
  /** Place in the plate frame, mm. */
  readonly atMm?: readonly [number, number, number];
}

const order: Record<Severity, number> = { stop: 0, caution: 1, note: 2 };

/** Findings in the order of severity, otherwise as they came. */
export function bySeverity(findings: readonly Finding[]): Finding[] {
  return findings.toSorted((a, b) => order[a.severity] - order[b.severity]);
}
