import { plainText } from '../base/plain-text.js';
import { cavityTable } from './cavity-table.js';
import { el } from './dom.js';
import { findingsList } from './findings-list.js';
import { header } from './header.js';
import { chosenFolder, droppedFiles } from './job-folder.js';
import { keptLog, setLog } from './log/book.js';
import { logView } from './log/view.js';
import { keepPlanned, mixPanel } from './mix/panel.js';
import { nameBoxesFollow } from './names.js';
import { openFiles, openingFault } from './open-files.js';
import { faultBox, startView, taskBox } from './opening.js';
import { picturePanel } from './picture/panel.js';
import { scaleView } from './scale/view.js';
import { sheetView } from './sheet-view.js';
import { shelfView } from './shelf/view.js';
import { newState } from './state.js';
import { SurveyClient } from './survey-client.js';

const app = newState();
const client = new SurveyClient(app);
keepPlanned(app);
setLog(app, keptLog());

/** A box to choose with, that is never seen; the same file may be chosen again, after it was exported anew. */
function chooser(label: string, folder: boolean): HTMLInputElement {
  const input = el('input', {
    type: 'file',
    multiple: true,
    hidden: true,
    'aria-label': label,
    webkitdirectory: folder,
  });
  input.addEventListener('change', () => {
    const files = [...(input.files ?? [])];
    input.value = '';
    void openFiles(folder ? chosenFolder(files) : files, app, client);
  });
  return input;
}
const fileChooser = chooser('file to open', false);
const folderChooser = chooser('folder to open', true);
const choose = { file: () => fileChooser.click(), folder: () => folderChooser.click() };

const say = el('p', { class: 'say', role: 'status' });
let quiet: ReturnType<typeof setTimeout> | undefined;
app.watch(['say'], (state) => {
  // What is said may hold the name of a file.
  say.textContent = plainText(state.say).slice(0, 300);
  clearTimeout(quiet);
  quiet = setTimeout(() => app.set({ say: '' }), 6000);
});

const plate = el(
  'div',
  { class: 'plate-view' },
  picturePanel(app),
  el('div', { class: 'side' }, cavityTable(app), mixPanel(app, client), findingsList(app)),
);
app.watch(['view', 'survey'], ({ view, survey }) => {
  plate.hidden = view !== 'plate' || survey === null;
});

const main = el(
  'main',
  {},
  faultBox(app, client),
  taskBox(app, client),
  startView(app, choose),
  plate,
  scaleView(app),
  shelfView(app),
  logView(app),
  sheetView(app),
);
document.body.append(header(app, choose), main, say, fileChooser);
nameBoxesFollow(app);

const holdsFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') === true;
let over = 0;
const mark = (by: number) => {
  over = Math.max(0, over + by);
  document.body.classList.toggle('dropping', over > 0);
};
document.addEventListener('dragenter', (event) => holdsFiles(event) && mark(1));
document.addEventListener('dragleave', (event) => holdsFiles(event) && mark(-1));
document.addEventListener('dragover', (event) => holdsFiles(event) && event.preventDefault());
document.addEventListener('drop', (event) => {
  if (!holdsFiles(event)) return;
  event.preventDefault();
  over = 0;
  mark(0);
  if (event.dataTransfer === null) return;
  droppedFiles(event.dataTransfer).then(
    (files) => openFiles(files, app, client),
    (error) => app.set({ fault: openingFault(error) }),
  );
});
