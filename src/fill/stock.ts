/** A size that a material is sold in. Of a two-part silicone: A and B together, in their ratio. */
export interface Pack {
  readonly holdsG: number;
  readonly price: number;
}

/** What is left of one lot; of a two-part silicone, A and B apart. */
export interface Lot {
  readonly lot: string;
  readonly leftG?: number;
  readonly leftAG?: number;
  readonly leftBG?: number;
  readonly useBy?: string;
}

export interface Stock {
  readonly packs?: readonly Pack[] | undefined;
  readonly lots?: readonly Lot[] | undefined;
}
