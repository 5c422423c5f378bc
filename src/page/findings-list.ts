import type { Finding } from '../base/finding.js';
import { plainText } from '../base/plain-text.js';
import { findingSentences, type Sentence } from '../sheet/findings-text.js';
import { el, fill } from './dom.js';
import { button } from './fields.js';
import { type App, findingsNow } from './state.js';

const words: Record<Finding['severity'], string> = { stop: 'Stop', caution: 'Caution', note: 'Note' };

function item({ finding, cavities, text }: Sentence, app: App): HTMLElement {
  const { severity, code } = finding;
  const overrides = () => {
    const { mixForm } = app.now;
    app.set({ mixForm: { ...mixForm, despite: [...mixForm.despite, code] } });
  };
  return el(
    'li',
    { class: `finding ${severity}` },
    el('b', {}, `${words[severity]}: `),
    text,
    ' ',
    el('code', {}, code),
    ' ',
    cavities.length === 1 &&
      button('show', () => app.set({ picked: cavities[0]! }), {
        class: 'link',
        'aria-label': `show cavity ${cavities[0]}`,
      }),
    severity === 'stop' && button('Plan in spite of it', overrides),
  );
}

/** What the survey and the plan found, gravest first; notes are folded away, since a plate has many. */
export function findingsList(app: App): HTMLElement {
  const section = el('section', { class: 'panel findings-panel', 'aria-label': 'findings and cautions' });
  app.watch(['survey', 'mix'], (state) => {
    const { survey, mix } = state;
    const nameOf = (number: number) => survey?.cavities.find((cavity) => cavity.number === number)?.name.slice(0, 40);
    const sentences = findingSentences(findingsNow(state), nameOf);
    const grave = sentences.filter(({ finding }) => finding.severity !== 'note');
    const notes = sentences.filter(({ finding }) => finding.severity === 'note');
    const cautions = mix?.cautions ?? [];
    const wasOpen = section.querySelector('details')?.open ?? false;
    section.hidden = sentences.length + cautions.length === 0;
    const list = (some: readonly Sentence[]) =>
      el(
        'ul',
        {},
        some.map((sentence) => item(sentence, app)),
      );
    fill(
      section,
      sentences.length > 0 && el('h2', {}, 'Findings'),
      grave.length > 0 && list(grave),
      notes.length > 0 &&
        el(
          'details',
          { open: wasOpen || grave.length === 0 },
          el('summary', {}, notes.length === 1 ? '1 note' : `${notes.length} notes`),
          list(notes),
        ),
      cautions.length > 0 && el('h2', {}, 'Cautions'),
      cautions.length > 0 &&
        el(
          'ul',
          { class: 'cautions' },
          cautions.map((text) => el('li', {}, plainText(text))),
        ),
    );
  });
  return section;
}
