/** The groups of a shelf and the boxes of their forms: keys as in the file, words and examples for the person. */
export interface Box {
  readonly key: string;
  readonly label: string;
  /** How a data sheet writes it; shown pale in the empty box. */
  readonly hint?: string;
  readonly choices?: readonly string[];
  /** Choices from the names of other groups. */
  readonly from?: readonly string[];
  readonly needed?: boolean;
  /** A list inside the entry, with boxes of its own. */
  readonly list?: readonly Box[];
}

export interface Group {
  readonly key: string;
  readonly title: string;
  readonly one: string;
  readonly boxes: readonly Box[];
}

const name: Box = { key: 'name', label: 'name', needed: true };
const density: Box = { key: 'density', label: 'density', hint: '1.07 g/ml', needed: true };
const packs: Box = {
  key: 'packs',
  label: 'packs',
  list: [
    { key: 'holds', label: 'holds', hint: '1 kg', needed: true },
    { key: 'price', label: 'price', hint: '48.00', needed: true },
  ],
};
const lots: Box = {
  key: 'lots',
  label: 'lots',
  list: [
    { key: 'lot', label: 'lot', needed: true },
    { key: 'left', label: 'left', hint: '310 g', needed: true },
    { key: 'use-by', label: 'use by', hint: '2027-05-31' },
  ],
};
const twoPartLots: Box = {
  key: 'lots',
  label: 'lots',
  list: [
    { key: 'lot', label: 'lot', needed: true },
    { key: 'left-a', label: 'left of A', hint: '640 g', needed: true },
    { key: 'left-b', label: 'left of B', hint: '655 g', needed: true },
    { key: 'use-by', label: 'use by', hint: '2027-05-31' },
  ],
};

const additive = (key: string, title: string, one: string, more: readonly Box[] = []): Group => ({
  key,
  title,
  one,
  boxes: [name, density, ...more, packs, lots],
});

export const groups: readonly Group[] = [
  {
    key: 'silicones',
    title: 'Silicones',
    one: 'silicone',
    boxes: [
      name,
      { key: 'cures', label: 'cures', choices: ['platinum', 'tin'] },
      { key: 'ratio', label: 'ratio A:B', hint: '1:1', needed: true },
      { key: 'ratio-by', label: 'ratio by', choices: ['weight', 'volume'], needed: true },
      { key: 'density', label: 'density mixed', hint: '1.07 g/ml' },
      { key: 'density-a', label: 'density of A', hint: '1.08 g/ml' },
      { key: 'density-b', label: 'density of B', hint: '1.06 g/ml' },
      { key: 'pot-life', label: 'pot life', hint: '45 min at 23 C' },
      { key: 'pot-life-second', label: 'pot life, warmer', hint: '20 min at 33 C' },
      { key: 'cure-time', label: 'cure time', hint: '5 h at 23 C' },
      { key: 'hardness', label: 'hardness', hint: '10 Shore 00' },
      { key: 'tear', label: 'tear strength', hint: '3.5 N/mm' },
      { key: 'tear-method', label: 'tear method', hint: 'ISO 34-1 method B' },
      { key: 'elongation', label: 'elongation', hint: '800 %' },
      { key: 'shrinkage', label: 'shrinkage', hint: '0.1 %' },
      packs,
      twoPartLots,
    ],
  },
  additive('softeners', 'Softeners', 'softener'),
  additive('thinners', 'Thinners', 'thinner'),
  additive('pigments', 'Pigments', 'pigment', [{ key: 'drop', label: 'one drop', hint: '0.032 g' }]),
  additive('flocks', 'Flocks', 'flock'),
  {
    key: 'lacquers',
    title: 'Barrier lacquers',
    one: 'lacquer',
    boxes: [
      name,
      density,
      { key: 'solids-by-volume', label: 'solids by volume', hint: '20 %', needed: true },
      {
        key: 'solvent',
        label: 'solvent',
        choices: ['acetone', 'isopropanol', 'ethyl acetate', 'butanone'],
        needed: true,
      },
      packs,
      lots,
    ],
  },
  {
    key: 'recipes',
    title: 'Recipes',
    one: 'recipe',
    boxes: [
      name,
      { key: 'silicone', label: 'silicone', from: ['silicones'], needed: true },
      { key: 'tint-into', label: 'tint into', choices: ['A', 'B'] },
      {
        key: 'add',
        label: 'what goes in besides',
        list: [
          { key: 'what', label: 'what', from: ['softeners', 'thinners', 'pigments', 'flocks'], needed: true },
          { key: 'share', label: 'share', hint: '2 %' },
          { key: 'drops', label: 'or drops', hint: '4' },
          { key: 'per', label: 'per', hint: '100 g' },
          { key: 'of', label: 'of', choices: ['A', 'B', 'A+B', 'total'], needed: true },
        ],
      },
    ],
  },
  {
    key: 'masters',
    title: 'Tinted parts left over',
    one: 'tinted part',
    boxes: [name, { key: 'left', label: 'left', hint: '120 g', needed: true }],
  },
];
