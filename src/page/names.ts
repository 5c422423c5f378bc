import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';
import { longestName } from '../reading/name-cells.js';
import { el } from './dom.js';
import type { App } from './state.js';

/** The survey with one cavity under another name. */
export function renamed(survey: SurveyDocument, number: number, name: string): SurveyDocument {
  const cavities = survey.cavities.map((cavity) => (cavity.number === number ? { ...cavity, name } : cavity));
  return { ...survey, cavities };
}

/** A cavity's name, to be changed where it stands. All boxes of the same cavity follow one another. */
export function nameInput(cavity: CavityRecord, app: App, attributes: Record<string, string> = {}): HTMLInputElement {
  const input = el('input', {
    class: 'name',
    dir: 'auto',
    autocomplete: 'off',
    spellcheck: 'false',
    maxlength: longestName,
    'aria-label': `name of cavity ${cavity.number}`,
    'data-name': cavity.number,
    onfocus: () => app.set({ picked: cavity.number }),
    oninput: () => {
      const { survey, mixForm } = app.now;
      if (survey === null) return;
      const before = survey.cavities.find(({ number }) => number === cavity.number)?.name;
      const { [before ?? '']: want, ...wants } = mixForm.wants;
      app.set({
        survey: renamed(survey, cavity.number, input.value),
        mixForm: want === undefined ? mixForm : { ...mixForm, wants: { ...wants, [input.value]: want } },
      });
    },
    ...attributes,
  });
  // A name of 10,000 characters is kept in the document, and only shown cut.
  input.value = cavity.name.slice(0, longestName);
  return input;
}

/** Every box of a renamed cavity but the one that is typed in follows. */
export function nameBoxesFollow(app: App): void {
  app.watch(['survey'], ({ survey }) => {
    for (const { number, name } of survey?.cavities ?? []) {
      for (const box of document.querySelectorAll<HTMLInputElement>(`input[data-name="${number}"]`)) {
        if (box !== document.activeElement) box.value = name.slice(0, longestName);
      }
    }
  });
}
