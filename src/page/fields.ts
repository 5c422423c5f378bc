import { el, newId } from './dom.js';

/** A labelled box to type a number in, with its unit; `on` hears every keystroke. */
export function numberField(
  label: string,
  unit: string,
  value: string,
  on: (text: string) => void,
  hint?: string,
): HTMLElement {
  const id = newId('field');
  return el(
    'div',
    { class: 'field' },
    el('label', { for: id }, label),
    el(
      'span',
      { class: 'entry' },
      el('input', {
        id,
        value,
        inputmode: 'decimal',
        autocomplete: 'off',
        placeholder: hint ?? '',
        oninput: (event: Event) => on((event.target as HTMLInputElement).value),
      }),
      unit !== '' && el('span', { class: 'unit' }, unit),
    ),
  );
}

/** A labelled box to write in. */
export function textField(label: string, hint: string, on: (text: string) => void): HTMLElement {
  const id = newId('field');
  const oninput = (event: Event) => on((event.target as HTMLInputElement).value);
  return el(
    'div',
    { class: 'field' },
    el('label', { for: id }, label),
    el('input', { id, placeholder: hint, autocomplete: 'off', maxlength: 60, dir: 'auto', oninput }),
  );
}

/** A labelled choice; names are shown as text. */
export function choiceField(
  label: string,
  choices: readonly (readonly [value: string, shown: string])[],
  value: string,
  on: (value: string) => void,
): HTMLElement {
  const id = newId('field');
  const options = choices.map(([key, shown]) => el('option', { value: key, selected: key === value }, shown));
  const change = (event: Event) => on((event.target as HTMLSelectElement).value);
  return el(
    'div',
    { class: 'field' },
    el('label', { for: id }, label),
    el('select', { id, onchange: change }, options),
  );
}

/** A few choices of which one holds, side by side; arrow keys move between them. */
export function segments<T extends string>(
  label: string,
  choices: readonly (readonly [value: T, shown: string])[],
  value: T,
  on: (value: T) => void,
): HTMLFieldSetElement {
  const name = newId('choice');
  return el(
    'fieldset',
    { class: 'segments' },
    el('legend', {}, label),
    choices.map(([key, shown]) =>
      el(
        'label',
        {},
        el('input', { type: 'radio', name, value: key, checked: key === value, onchange: () => on(key) }),
        el('span', {}, shown),
      ),
    ),
  );
}

export function button(label: string, on: () => void, attributes: Record<string, string | boolean | undefined> = {}) {
  return el('button', { type: 'button', onclick: on, ...attributes }, label);
}

/** A switch that stays on or off. */
export function tick(label: string, checked: boolean, on: (checked: boolean) => void): HTMLElement {
  return el(
    'label',
    { class: 'tick' },
    el('input', {
      type: 'checkbox',
      checked,
      onchange: (event: Event) => on((event.target as HTMLInputElement).checked),
    }),
    label,
  );
}
