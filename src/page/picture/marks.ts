import { Vector3 } from 'three';
import type { Finding } from '../../base/finding.js';
import type { SurveyDocument, ThinZoneRecord } from '../../base/survey-document.js';
import { zonesToDraw } from '../../sheet/run-sheet-zones.js';
import { el } from '../dom.js';
import type { App } from '../state.js';
import type { PlateScene } from './scene.js';

interface Mark {
  readonly element: HTMLElement;
  readonly at: Vector3;
}

type Kind = 'number' | 'thin' | 'air' | 'lift';
const signs: Record<Kind, { text: string; title: string }> = {
  number: { text: '', title: '' },
  thin: { text: '▲', title: 'thin here' },
  air: { text: '◉', title: 'air stays here' },
  lift: { text: '▼', title: 'start lifting here' },
};

/** A rough wall has many small thin zones; the largest are what one looks for. */
function largest(zones: readonly ThinZoneRecord[]): ThinZoneRecord[] {
  return zones.toSorted((a, b) => b.areaMm2 - a.areaMm2).slice(0, 3);
}

/** Signs that stand over the picture: numbers, thin zones, air traps, lift points; each has a shape of its own. */
export class Marks {
  readonly layer = el('div', { class: 'marks', 'aria-hidden': 'true' });
  private marks: Mark[] = [];
  private readonly seen = new Vector3();

  constructor(
    private readonly view: PlateScene,
    private readonly app: App,
  ) {}

  show(survey: SurveyDocument | null, findings: readonly Finding[], withSigns: boolean): void {
    this.layer.replaceChildren();
    this.marks = [];
    for (const cavity of survey?.cavities ?? []) {
      const { number, centreMm, boxMm, airTraps, liftPointMm } = cavity;
      // On the land behind the cavity, where it hides nothing.
      this.add('number', [centreMm[0], boxMm[4], 0], number);
      if (!withSigns) continue;
      for (const zone of largest(zonesToDraw(cavity, findings))) this.add('thin', zone.atMm, number);
      for (const trap of airTraps ?? []) this.add('air', trap.atMm, number);
      if (liftPointMm !== null) this.add('lift', liftPointMm, number);
    }
    this.place();
  }

  private add(kind: Kind, at: readonly number[], cavity: number): void {
    const { text, title } = signs[kind];
    const shown = kind === 'number' ? String(cavity) : text;
    const element = el(
      'span',
      { class: `mark ${kind}`, title, 'data-cavity': cavity, onclick: () => this.app.set({ picked: cavity }) },
      shown,
    );
    this.layer.append(element);
    this.marks.push({ element, at: new Vector3(at[0], at[1], at[2]) });
  }

  pick(cavity: number | null): void {
    for (const { element } of this.marks) element.classList.toggle('on', element.dataset.cavity === String(cavity));
  }

  /** Hides the signs of what a section has cut away. @param atMm null: no section */
  cut(axis: 'x' | 'y', atMm: number | null): void {
    for (const { element, at } of this.marks) {
      element.hidden = atMm !== null && (axis === 'x' ? at.x > atMm : at.y < atMm);
    }
  }

  /** Puts every sign where its place is seen now. */
  place(): void {
    const { camera, canvas } = this.view;
    const [width, height] = [canvas.clientWidth, canvas.clientHeight];
    for (const { element, at } of this.marks) {
      this.seen.copy(at);
      this.seen.z += this.view.liftedMm;
      this.seen.project(camera);
      element.style.transform = `translate(${((this.seen.x + 1) / 2) * width}px, ${((1 - this.seen.y) / 2) * height}px)`;
    }
  }
}
