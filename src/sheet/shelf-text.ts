import { plainText } from '../base/plain-text.js';
import { genericSilicones } from '../fill/generic-silicones.js';
import { makeRecipe } from '../fill/recipe.js';
import type { Shelf } from '../fill/shelf/shelf.js';
import { mixedDensity, type Silicone } from '../fill/silicone.js';
import type { Stock } from '../fill/stock.js';
import { fixed, noFigure } from './figures.js';
import { table } from './table.js';

function leftG({ lots }: Stock): number | null {
  if (lots === undefined) return null;
  return lots.reduce((sum, { leftG: one = 0, leftAG = 0, leftBG = 0 }) => sum + one + leftAG + leftBG, 0);
}

function siliconeTable(silicones: readonly Silicone[], width: number): string[] {
  return table(
    [
      { head: ['silicone'], least: 12, wraps: true },
      { head: ['A:B', 'by'] },
      { head: ['cures', 'by'] },
      { head: ['density', 'g/ml'], align: 'right' },
      { head: ['pot life', 'min'], align: 'right' },
      { head: ['cure', 'h'], align: 'right' },
      { head: ['tear', 'N/mm'], align: 'right' },
      { head: ['left', 'g'], align: 'right' },
    ],
    silicones.map((silicone) => [
      plainText(silicone.name),
      `${silicone.ratio.join(':')} ${silicone.ratioBy}`,
      silicone.cures === 'tin' ? 'tin: not for skin' : (silicone.cures ?? noFigure),
      fixed(mixedDensity(silicone), 3),
      fixed(silicone.potLife?.minutes, 0),
      silicone.cureTime === undefined ? noFigure : fixed(silicone.cureTime.minutes / 60, 1),
      fixed(silicone.tearNPerMm, 1),
      fixed(leftG(silicone), 0),
    ]),
    { width },
  );
}

/** The materials of a shelf as tables; without one, the built-in materials. */
export function shelfText(shelf: Shelf | undefined, { width = 80 }: { width?: number } = {}): string {
  if (shelf === undefined) {
    const lines = [
      'Built in, with typical figures: use your data sheet instead.',
      '',
      ...siliconeTable(genericSilicones, width),
    ];
    return `${lines.join('\n')}\n`;
  }
  const others = [
    ...shelf.additives.map((additive) => ({ ...additive, use: additive.kind as string })),
    ...shelf.lacquers.map((lacquer) => ({ ...lacquer, use: 'lacquer' })),
  ];
  const blocks = [
    shelf.silicones.length === 0 ? [] : siliconeTable(shelf.silicones, width),
    others.length === 0
      ? []
      : table(
          [
            { head: ['besides'], least: 12, wraps: true },
            { head: ['use'] },
            { head: ['density', 'g/ml'], align: 'right' },
            { head: ['left', 'g'], align: 'right' },
          ],
          others.map(({ name, use, densityGPerMl, ...stock }) => [
            plainText(name),
            use,
            fixed(densityGPerMl, 3),
            fixed(leftG(stock), 0),
          ]),
          { width },
        ),
    shelf.recipes.length === 0
      ? []
      : table(
          [
            { head: ['recipe'], least: 12, wraps: true },
            { head: ['of'], least: 12, wraps: true },
            { head: ['density', 'g/ml'], align: 'right' },
          ],
          shelf.recipes.map((spec) => [
            plainText(spec.name),
            plainText(spec.silicone.name),
            fixed(makeRecipe(spec).densityGPerMl, 3),
          ]),
          { width },
        ),
  ].filter((block) => block.length > 0);
  return blocks.length === 0 ? 'The shelf is empty.\n' : `${blocks.map((block) => block.join('\n')).join('\n\n')}\n`;
}
