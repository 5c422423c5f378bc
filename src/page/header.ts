import { el, fill, nameText } from './dom.js';
import { button } from './fields.js';
import { savings } from './files.js';
import type { Choose } from './opening.js';
import { type App, type View, views } from './state.js';

const viewNames: Record<View, string> = { plate: 'Plate', scale: 'Scale', shelf: 'Shelf', log: 'Log', sheet: 'Sheet' };

type Theme = 'light' | 'dark';

function theme(): HTMLElement {
  const dark = window.matchMedia('(prefers-color-scheme: dark)');
  let chosen: Theme | undefined;
  const now = (): Theme => chosen ?? (dark.matches ? 'dark' : 'light');
  const show = () => {
    document.documentElement.dataset.theme = now();
    swap.textContent = now() === 'dark' ? 'Light' : 'Dark';
  };
  const swap = button('', () => {
    chosen = now() === 'dark' ? 'light' : 'dark';
    show();
  });
  dark.addEventListener('change', show);
  show();
  return swap;
}

/** The bar at the top: what is open, the views, opening and saving. */
export function header(app: App, choose: Choose): HTMLElement {
  const what = el('p', { class: 'what' });
  const nav = el(
    'nav',
    { 'aria-label': 'views' },
    views.map((view) => button(viewNames[view], () => app.set({ view }), { 'data-view': view })),
  );
  const saves = el('div', { class: 'saves' });
  const menu = el('details', { class: 'menu' }, el('summary', {}, 'Save'), saves);
  menu.addEventListener('keydown', (event) => {
    if (event.key !== 'Escape') return;
    menu.open = false;
    menu.querySelector('summary')!.focus();
  });
  document.addEventListener('click', (event) => {
    if (!menu.contains(event.target as Node)) menu.open = false;
  });
  menu.addEventListener('toggle', () => {
    if (!menu.open) return;
    fill(
      saves,
      savings(app).map(({ what: word, save }) =>
        button(`Save the ${word}`, () => {
          save();
          menu.open = false;
        }),
      ),
    );
  });
  app.watch(['survey', 'view', 'shelfFile', 'logText'], ({ survey, view, shelfFile, logText }) => {
    menu.hidden = survey === null && shelfFile === null && logText === '';
    for (const item of nav.querySelectorAll<HTMLElement>('[data-view]')) {
      if (item.dataset.view === view) item.setAttribute('aria-current', 'page');
      else item.removeAttribute('aria-current');
    }
    fill(what, survey && [nameText(survey.source.file, 60)]);
  });
  return el(
    'header',
    { class: 'bar' },
    el('h1', {}, 'plateful'),
    what,
    nav,
    el('div', { class: 'acts' }, button('Open', choose.file), menu, theme()),
  );
}
