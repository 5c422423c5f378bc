import type { CavityRecord } from '../../base/survey-document.js';
import { fixed } from '../../sheet/figures.js';
import { el, fill } from '../dom.js';
import { segments } from '../fields.js';
import type { App } from '../state.js';
import { nearestOnSection, type SectionLine, sectionLines } from './section.js';

/** The picked cavity, or the first where none is. */
function pickedCavity({ now: { survey, picked } }: App): CavityRecord | undefined {
  return survey?.cavities.find(({ number }) => number === picked) ?? survey?.cavities[0];
}

/** Cuts the plate open through the middle of the picked cavity, or closes it. */
export function cutOpen(app: App, on: boolean, axis = app.now.section.axis): void {
  const middle = pickedCavity(app)?.centreMm[axis === 'x' ? 0 : 1] ?? 0;
  app.set({ section: { on, axis, atMm: Math.round(middle * 4) / 4 } });
}

/**
 * The section across the plate, seen from the side, heights drawn larger than lengths; the thickness is read at the
 * pointer.
 * @param outline hears where the plane cuts the walls; nothing while the plate is whole
 */
export function sectionView(app: App, outline: (lines: readonly SectionLine[]) => void): HTMLElement {
  const readout = el('output', { class: 'readout', 'aria-live': 'polite' });
  const path = el('path', { class: 'wall' });
  const body = el('path', { class: 'silicone', 'fill-rule': 'nonzero' });
  const top = el('line', { class: 'top', y1: 0, y2: 0 });
  const dot = el('circle', { class: 'dot', r: 5, cx: -99, cy: -99 });
  const svg = el(
    'svg',
    {
      class: 'section',
      role: 'application',
      tabindex: 0,
      'aria-label':
        'section across the plate; left and right arrows move along it, page up and page down move the plane',
    },
    body,
    top,
    path,
    dot,
  );
  const slider = el('input', { type: 'range', step: 0.25, min: 0, 'aria-label': 'place of the section, mm' });
  const place = el('output', {});
  const controls = el('div', {});
  const box = el(
    'div',
    { class: 'section-box' },
    el('div', { class: 'section-open' }, el('div', { class: 'row slide' }, controls, slider, place), svg, readout),
  );
  const open = box.querySelector<HTMLElement>('.section-open')!;
  let lines: SectionLine[] = [];
  let long = 1;
  let at = 0;
  let wasCut: 'x' | 'y' | null = null;

  const set = (changes: Partial<typeof app.now.section>) => app.set({ section: { ...app.now.section, ...changes } });
  slider.addEventListener('input', () => set({ atMm: Number(slider.value) }));

  app.watch(['survey', 'shapes'], ({ survey, shapes, section }) => {
    if (survey === null || shapes === null) return;
    fill(
      controls,
      segments(
        'cut across',
        [
          ['x', 'its length'],
          ['y', 'its width'],
        ],
        section.axis,
        (axis) => cutOpen(app, true, axis),
      ),
    );
  });
  app.watch(['section', 'shapes'], ({ section, shapes, survey }) => {
    open.hidden = !section.on;
    if (!section.on || shapes === null || survey === null) {
      wasCut = null;
      return outline([]);
    }
    const [length, width] = [survey.plate.lengthMm ?? 200, survey.plate.widthMm ?? 150];
    slider.max = String(section.axis === 'x' ? length : width);
    slider.value = String(section.atMm);
    place.textContent = `${section.axis} ${fixed(section.atMm, 1)} mm`;
    long = section.axis === 'x' ? width : length;
    lines = sectionLines(shapes.bodies, section.axis, section.atMm);
    outline(lines);
    draw();
    // A new cut is read first in the middle of the cavity that it goes through.
    if (wasCut !== section.axis) at = pickedCavity(app)?.centreMm[section.axis === 'x' ? 1 : 0] ?? 0;
    wasCut = section.axis;
    read(at, null);
  });

  svg.addEventListener('pointermove', (event: Event) => {
    const { clientX, clientY } = event as PointerEvent;
    const box2 = svg.getBoundingClientRect();
    read(((clientX - box2.left) / box2.width) * long, -((clientY - box2.top - margin) / scaleZ()));
  });
  svg.addEventListener('keydown', (event: Event) => {
    const { key, shiftKey } = event as KeyboardEvent;
    const step = shiftKey ? 5 : 0.5;
    const { section } = app.now;
    if (key === 'ArrowLeft') read(Math.max(0, at - step), null);
    else if (key === 'ArrowRight') read(Math.min(long, at + step), null);
    else if (key === 'PageUp' || key === 'PageDown') {
      const next = section.atMm + (key === 'PageUp' ? 1 : -1) * 1;
      set({ atMm: Math.min(Number(slider.max), Math.max(0, next)) });
    } else return;
    event.preventDefault();
  });
  return box;

  function scaleZ(): number {
    const deepest = Math.max(1, ...(app.now.survey?.cavities.map(({ depthMm }) => depthMm ?? 0) ?? []));
    return (heightPx - 2 * margin) / deepest;
  }

  function draw(): void {
    const perMm = widthPx / long;
    const down = scaleZ();
    svg.setAttribute('viewBox', `0 0 ${widthPx} ${heightPx}`);
    svg.setAttribute('preserveAspectRatio', 'none');
    top.setAttribute('x2', String(widthPx));
    top.setAttribute('transform', `translate(0 ${margin})`);
    const corners = lines.map(({ ends: [u1, z1, u2, z2] }) =>
      [u1 * perMm, margin - z1 * down, u2 * perMm, margin - z2 * down].map((value) => value.toFixed(1)),
    );
    path.setAttribute('d', corners.map(([x1, y1, x2, y2]) => `M${x1} ${y1}L${x2} ${y2}`).join(''));
    // Trapezes from each line up to the surface, with a sense of their own: they cancel outside the silicone.
    body.setAttribute('d', corners.map(([x1, y1, x2, y2]) => `M${x1} ${margin}V${y1}L${x2} ${y2}V${margin}Z`).join(''));
  }

  /** Reads the wall nearest to a place along the section; without a depth, the deepest wall there. */
  function read(u: number, z: number | null): void {
    at = u;
    const found = z === null ? deepestAt(u) : nearestOnSection(lines, u, z);
    if (found === null || Math.abs(found.u - u) > 3) {
      readout.textContent = `at ${fixed(u, 1)} mm: land`;
      dot.setAttribute('cx', '-99');
      return;
    }
    const { line } = found;
    const thick = Number.isNaN(line.thicknessMm) ? '' : `${fixed(line.thicknessMm, 2)} mm thick, `;
    readout.textContent = `cavity ${line.number}, at ${fixed(found.u, 1)} mm: ${thick}${fixed(-found.z, 2)} mm deep`;
    dot.setAttribute('cx', String((found.u * widthPx) / long));
    dot.setAttribute('cy', String(margin - found.z * scaleZ()));
  }

  function deepestAt(u: number): ReturnType<typeof nearestOnSection> {
    const here = lines.filter(({ ends: [u1, , u2] }) => Math.min(u1, u2) <= u && Math.max(u1, u2) >= u);
    return nearestOnSection(here, u, -1e3);
  }
}

const widthPx = 640;
const heightPx = 120;
const margin = 12;
