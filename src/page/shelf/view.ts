import { plainText } from '../../base/plain-text.js';
import { el, fill, newId } from '../dom.js';
import { button } from '../fields.js';
import { saveFile } from '../files.js';
import type { App } from '../state.js';
import { type Entry, entriesOf, shelfText, typedValue, understandShelf, withValue } from './file.js';
import { type Box, type Group, groups } from './groups.js';

type Change = (entry: Entry) => void;

function namesOf(app: App, keys: readonly string[]): string[] {
  return keys.flatMap((key) => entriesOf(app.now.shelfFile, key).map(({ name }) => String(name ?? '')));
}

/** One box of a form; `change` hears the whole entry anew. */
function boxField(box: Box, entry: () => Entry, change: Change, app: App): HTMLElement {
  const id = newId('shelf');
  const value = String(entry()[box.key] ?? '');
  const put = (text: string) => change(withValue(entry(), box.key, typedValue(box.key, text)));
  const choices = box.choices ?? (box.from && namesOf(app, box.from));
  const input =
    choices === undefined
      ? el('input', {
          id,
          value,
          placeholder: box.hint ?? '',
          autocomplete: 'off',
          dir: 'auto',
          oninput: (event: Event) => put((event.target as HTMLInputElement).value),
        })
      : el(
          'select',
          { id, onchange: (event: Event) => put((event.target as HTMLSelectElement).value) },
          ['', ...new Set([...choices, ...(value === '' ? [] : [value])])].map((choice) =>
            el('option', { value: choice, selected: choice === value }, choice === '' ? '–' : plainText(choice)),
          ),
        );
  return el(
    'div',
    { class: 'field' },
    el('label', { for: id }, box.label, box.needed && el('span', { title: 'needed' }, ' *')),
    input,
  );
}

function listField(box: Box, entry: () => Entry, change: Change, app: App): HTMLElement {
  const holder = el('div', { class: 'inner-list' });
  const draw = () => {
    const items = entriesOf(entry(), box.key);
    const put = (list: readonly Entry[]) => change(withValue(entry(), box.key, list.length === 0 ? undefined : list));
    fill(
      holder,
      el('p', { class: 'soft' }, box.label),
      items.map((_, index) =>
        el(
          'div',
          { class: 'row' },
          box.list!.map((inner) => {
            const own = () => entriesOf(entry(), box.key)[index]!;
            const changeOwn: Change = (next) =>
              put(entriesOf(entry(), box.key).map((item, i) => (i === index ? next : item)));
            return boxField(inner, own, changeOwn, app);
          }),
          button('Remove', () => {
            put(entriesOf(entry(), box.key).filter((__, i) => i !== index));
            draw();
          }),
        ),
      ),
      button(
        'Add',
        () => {
          put([...items, {}]);
          draw();
        },
        { 'aria-label': `add to ${box.label}` },
      ),
    );
  };
  draw();
  return holder;
}

function entryCard(group: Group, index: number, app: App, redraw: () => void): HTMLElement {
  const entry = (): Entry => entriesOf(app.now.shelfFile, group.key)[index] ?? {};
  const title = el('summary', {});
  const retitle = () => {
    title.textContent = plainText(String(entry().name ?? '')).slice(0, 60) || `new ${group.one}`;
  };
  const put = (list: readonly Entry[]) => app.set({ shelfFile: withValue(app.now.shelfFile ?? {}, group.key, list) });
  const change: Change = (next) => {
    put(entriesOf(app.now.shelfFile, group.key).map((item, i) => (i === index ? next : item)));
    retitle();
  };
  retitle();
  return el(
    'details',
    { class: 'entry-card', open: entry().name === undefined },
    title,
    el(
      'div',
      { class: 'boxes' },
      group.boxes.filter(({ list }) => list === undefined).map((box) => boxField(box, entry, change, app)),
    ),
    group.boxes.filter(({ list }) => list !== undefined).map((box) => listField(box, entry, change, app)),
    button(`Remove this ${group.one}`, () => {
      put(entriesOf(app.now.shelfFile, group.key).filter((_, i) => i !== index));
      redraw();
    }),
  );
}

/** One's own materials, edited in forms and saved as a file. */
export function shelfView(app: App): HTMLElement {
  const body = el('div', { class: 'groups' });
  const say = el('p', { class: 'shelf-say', role: 'status' });
  const draw = () => {
    fill(
      body,
      groups.map((group) =>
        el(
          'section',
          { class: 'group' },
          el('h3', {}, group.title),
          entriesOf(app.now.shelfFile, group.key).map((_, index) => entryCard(group, index, app, draw)),
          button(`Add a ${group.one}`, () => {
            const list = [...entriesOf(app.now.shelfFile, group.key), {}];
            app.set({ shelfFile: withValue(app.now.shelfFile ?? {}, group.key, list) });
            draw();
          }),
        ),
      ),
    );
  };
  const section = el(
    'section',
    { class: 'panel shelf', 'aria-labelledby': 'shelf-title' },
    el('h2', { id: 'shelf-title' }, 'Shelf'),
    el(
      'p',
      { class: 'soft' },
      'Your own materials. Write figures with their units, as the data sheet does. Open a shelf file from the bar above, or begin here.',
    ),
    say,
    body,
    el(
      'div',
      { class: 'row' },
      button('Save the shelf', () => saveFile('shelf.json', shelfText(app.now.shelfFile ?? {}), 'application/json'), {
        class: 'main',
      }),
    ),
  );
  app.watch(['shelfFile'], ({ shelfFile }) => {
    const { shelf, fault } = shelfFile === null ? { shelf: null, fault: null } : understandShelf(shelfFile);
    // While a form is half filled in, the plan keeps what was understood last.
    app.set(fault === null ? { shelf, shelfFault: null } : { shelfFault: fault });
    const where = fault?.where?.replace(/^line \d+, (key )?/, '');
    say.classList.toggle('warn', fault !== null);
    say.textContent =
      fault !== null
        ? `Not complete yet: ${where === undefined ? '' : `${plainText(where)}: `}${plainText(fault.message)} ${plainText(fault.remedy ?? '')}`
        : shelf === null
          ? ''
          : 'Every entry is understood; the mix can use them.';
  });
  app.watch(['view', 'shelvesOpened'], ({ view }) => {
    section.hidden = view !== 'shelf';
    if (view === 'shelf') draw();
  });
  return section;
}
