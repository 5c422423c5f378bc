import type { BarrierNeed } from '../barrier.js';
import type { MixDocument, MixFinding } from '../mix-document.js';

/** The plan document: what `plan FILE --json` prints. Days as `2026-12-04`, clock times as `09:40`. */
export interface PlanDocument {
  format: 'plateful.plan';
  version: 1;
  pieces: PieceNeed[];
  plates: PlatePlan[];
  days: DayPlan[];
  /** Good pieces that are expected beyond every want and spare. */
  leftOver: { piece: string; count: number }[];
  /** The silicone; its sessions are those of the days, in their order. */
  mix: MixDocument;
  money: MoneyPlan;
  findings: MixFinding[];
  cautions: string[];
}

export interface PieceNeed {
  piece: string;
  count: number;
  spares: number;
  /** Rejects that are expected, and cast beforehand. */
  rejects: number;
  toCast: number;
  by: string | null;
  /** The last working day on which it may be cast; `null`: no date, or none is left. */
  lastDay: string | null;
  /** The day of its last cast. */
  castOn: string;
  met: boolean;
}

export interface PlatePlan {
  file: string | null;
  copies: number;
  fills: number;
  /** First pulls of new moulds, besides the fills. */
  scrapFills: number;
  /** `null`: no number of copies meets every date. */
  copiesNeeded: number | null;
}

export interface DayPlan {
  date: string;
  sessions: {
    session: number;
    turn: number;
    fills: { plate: number; count: number; cavities: number[] }[];
    /** How many of the fills are first pulls of new moulds: scrap. */
    scrapFills: number;
    /** What is mixed and sprayed in this turn; `null`: nothing. */
    barrier: null | Pick<BarrierNeed, 'lacquerMl' | 'thinnerMl' | 'sprayedMl' | 'airbrushCups' | 'passes' | 'solventG'>;
  }[];
  timetable: { at: string; what: string }[];
}

export interface MoneyPlan {
  currency: string;
  /** What the plan uses, at the price a gram of the cheapest pack; without what has no price. */
  usedCost: number;
  buyCost: number;
  unpriced: string[];
  materials: MaterialNeed[];
}

export interface MaterialNeed {
  what: string;
  useG: number;
  /** On the shelf, and fit until it is used; `null`: not known. */
  onShelfG: number | null;
  /** What is left after the plan and what is bought. */
  leftG: number | null;
  /** Packs of the cheapest choice; empty: nothing to buy, or no packs known. */
  buy: { holdsG: number; price: number; count: number }[];
  /** Ordered by then it arrives before it runs out; `null`: nothing to buy. */
  buyBy: string | null;
}
