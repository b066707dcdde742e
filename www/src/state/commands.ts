// Every command, in one table from which menus, buttons, shortcuts and the list of keys are made. Keys that only a
// focused control understands are described here and handled there.
import { attachments } from './attachments.svelte';
import type { Chord } from './chords';
import { dialogs } from './dialogs.svelte';
import { files } from './files.svelte';
import { autosave } from './autosave.svelte';
import { layers } from './layers.svelte';
import { lineCheck } from './line-check.svelte';
import { newWindow } from './new-window.svelte';
import { scene } from './scene.svelte';
import { sectionFocus } from './section-focus.svelte';
import { selection } from './selection.svelte';
import { side } from './side.svelte';
import { variants } from './variants.svelte';
import { PAN_SHARE, ZOOM_STEP, wallView } from './view.svelte';
import { printSheet } from './print';

export const GROUPS = {
  everywhere: 'Everywhere',
  hour: 'The hour, on the day ribbon',
  date: 'The date, in the year',
  place: 'The compass, and positions in the plan',
  pieces: 'Pieces, on the window',
  view: 'View, on the window',
  layers: 'Layers, in the section of a piece',
  number: 'A number or a date',
} as const;
export type Group = keyof typeof GROUPS;

/** Where the focus must be for the keys of a command, by the element’s `data-keys`. */
type Scope = 'window' | 'pieces' | 'section';

export interface Command {
  id: CommandId;
  /** Its name in menus, on buttons and in the list of keys. */
  name: string;
  group: Group;
  keys?: readonly Chord[];
  /** Absent: works wherever the focus is. */
  scope?: Scope;
  /** The keys also work in a text field: in any, or in one whose text has been applied and is not being changed. */
  inFields?: 'always' | 'when applied';
  menu?: 'file' | 'more';
  /** Omitted from the list of keys, where one description covers several commands. */
  unlisted?: true;
  /** Its full name, where what it does depends on the state. */
  inFull?(): string;
  allowed?(): boolean;
  run(): void;
}

export type CommandId =
  | 'about'
  | 'attachments'
  | 'back'
  | 'check-lines'
  | 'choose-all'
  | 'choose-colour'
  | 'choose-glass'
  | 'clear-selection'
  | 'close-panel'
  | 'copy-makeup'
  | 'display'
  | 'enter-section'
  | 'keys'
  | 'leave-section'
  | 'new-window'
  | 'next-variant'
  | 'open-file'
  | 'pan-down'
  | 'pan-left'
  | 'pan-right'
  | 'pan-up'
  | 'paste-makeup'
  | 'previous-variant'
  | 'print'
  | 'redo'
  | 'save-file'
  | 'save-other-file'
  | 'save-picture'
  | 'select-several'
  | 'show-whole'
  | 'undo'
  | 'zoom-in'
  | 'zoom-out';

const withWords = (name: string, words: string | null): string => (words === null ? name : `${name}: ${words}`);
const hasVariants = (): boolean => (scene.overview?.variants.length ?? 0) > 0;
const isNear = (): boolean => wallView.near;
const hasChosen = (): boolean => selection.primary !== null;
/** Selected text takes precedence for copying. */
const nothingMarked = (): boolean => getSelection()?.isCollapsed !== false;
const pan = (id: CommandId, key: string, name: string, x: number, y: number): Command => ({
  id,
  name,
  group: 'view',
  keys: [`Alt+${key}`],
  scope: 'window',
  unlisted: true,
  run: () => wallView.glidePan([x * PAN_SHARE, y * PAN_SHARE]),
});

export const COMMANDS: readonly Command[] = [
  {
    id: 'undo',
    name: 'Undo',
    group: 'everywhere',
    keys: ['Mod+Z'],
    inFields: 'when applied',
    inFull: () => withWords('Undo', scene.undoWords),
    allowed: () => scene.canUndo,
    run: () => scene.step('undo'),
  },
  {
    id: 'redo',
    name: 'Redo',
    group: 'everywhere',
    keys: ['Mod+Shift+Z', 'Mod+Y'],
    inFields: 'when applied',
    inFull: () => withWords('Redo', scene.redoWords),
    allowed: () => scene.canRedo,
    run: () => scene.step('redo'),
  },
  {
    id: 'new-window',
    name: 'New window …',
    group: 'everywhere',
    keys: ['N'],
    menu: 'file',
    run: () => newWindow.open(),
  },
  {
    id: 'open-file',
    name: 'Open …',
    group: 'everywhere',
    keys: ['Mod+O'],
    inFields: 'always',
    menu: 'file',
    run: () => files.choose(),
  },
  {
    id: 'save-file',
    name: 'Save',
    group: 'everywhere',
    keys: ['Mod+S'],
    inFields: 'always',
    menu: 'file',
    inFull: () => (files.savesTo === null ? 'Save …' : `Save to ${files.savesTo}`),
    run: () => void files.save(),
  },
  {
    id: 'save-other-file',
    name: 'Save as …',
    group: 'everywhere',
    keys: ['Mod+Shift+S'],
    inFields: 'always',
    menu: 'file',
    run: () => void files.save(true),
  },
  {
    id: 'save-picture',
    name: 'Save picture …',
    group: 'everywhere',
    menu: 'file',
    allowed: () => scene.overview !== null,
    run: () => (dialogs.open = 'save-picture'),
  },
  {
    id: 'print',
    name: 'Print …',
    group: 'everywhere',
    keys: ['Mod+P'],
    inFields: 'always',
    menu: 'file',
    allowed: () => scene.overview !== null,
    run: () => void printSheet(),
  },
  {
    id: 'attachments',
    name: 'Attachments …',
    group: 'everywhere',
    menu: 'file',
    inFull: () => (attachments.list.length === 0 ? 'Attachments …' : `Attachments (${attachments.list.length}) …`),
    allowed: () => scene.overview !== null,
    run: () => (dialogs.open = 'attachments'),
  },
  {
    id: 'back',
    name: 'Back to the previous scene',
    group: 'everywhere',
    menu: 'file',
    inFull: () =>
      autosave.previous === null ? 'Back to the previous scene' : `Back to “${autosave.previous.head.name}”`,
    allowed: () => autosave.previous !== null,
    run: () => void files.back(),
  },
  {
    id: 'next-variant',
    name: 'Next variant',
    group: 'everywhere',
    keys: ['V'],
    allowed: hasVariants,
    run: () => variants.step(1),
  },
  {
    id: 'previous-variant',
    name: 'Previous variant',
    group: 'everywhere',
    keys: ['Shift+V'],
    allowed: hasVariants,
    run: () => variants.step(-1),
  },
  {
    id: 'check-lines',
    name: 'Check the drawing',
    group: 'everywhere',
    keys: ['D'],
    menu: 'more',
    allowed: () => scene.overview !== null,
    run: () => lineCheck.open(),
  },
  { id: 'about', name: 'About these figures', group: 'everywhere', menu: 'more', run: () => (dialogs.open = 'about') },
  { id: 'display', name: 'Display', group: 'everywhere', menu: 'more', run: () => (dialogs.open = 'display') },
  { id: 'keys', name: 'Keys', group: 'everywhere', keys: ['?'], menu: 'more', run: () => (dialogs.open = 'keys') },
  {
    id: 'choose-all',
    name: 'Select all pieces',
    group: 'pieces',
    keys: ['Mod+A'],
    scope: 'pieces',
    run: () => selection.chooseAll(),
  },
  {
    id: 'choose-glass',
    name: 'All of this glass',
    group: 'pieces',
    keys: ['G'],
    scope: 'pieces',
    allowed: hasChosen,
    run: () => selection.chooseSimilar('glass'),
  },
  {
    id: 'choose-colour',
    name: 'All of this colour',
    group: 'pieces',
    keys: ['C'],
    scope: 'pieces',
    allowed: hasChosen,
    run: () => selection.chooseSimilar('colour'),
  },
  {
    id: 'select-several',
    name: 'Select several',
    group: 'pieces',
    run: () => (selection.several = !selection.several),
  },
  {
    id: 'close-panel',
    name: 'Close the panel beside the window',
    group: 'everywhere',
    keys: ['Escape'],
    inFields: 'always',
    allowed: () => side.panel === 'place' || side.panel === 'glasses' || side.panel === 'lines',
    run: () => side.close(),
  },
  {
    id: 'enter-section',
    name: 'Go to the layers of the selected piece',
    group: 'pieces',
    keys: ['Enter'],
    scope: 'pieces',
    allowed: hasChosen,
    run: () => void sectionFocus.enter(),
  },
  {
    id: 'leave-section',
    name: 'Go back to the pieces',
    group: 'layers',
    keys: ['Escape'],
    scope: 'section',
    inFields: 'always',
    allowed: () => sectionFocus.entered,
    run: () => sectionFocus.leave(),
  },
  {
    id: 'clear-selection',
    name: 'Clear selection',
    group: 'pieces',
    keys: ['Escape'],
    inFields: 'always',
    allowed: hasChosen,
    run: () => selection.choose(null),
  },
  {
    id: 'zoom-in',
    name: 'Zoom in',
    group: 'view',
    keys: ['+', '='],
    scope: 'window',
    allowed: () => wallView.zoom < wallView.mostZoom * 0.999,
    run: () => wallView.glideBy(ZOOM_STEP),
  },
  {
    id: 'zoom-out',
    name: 'Zoom out',
    group: 'view',
    keys: ['-'],
    scope: 'window',
    allowed: isNear,
    run: () => wallView.glideBy(1 / ZOOM_STEP),
  },
  {
    id: 'show-whole',
    name: 'Fit the whole window',
    group: 'view',
    keys: ['0'],
    scope: 'window',
    allowed: isNear,
    run: () => wallView.glideWhole(),
  },
  pan('pan-left', 'ArrowLeft', 'Move left', -1, 0),
  pan('pan-right', 'ArrowRight', 'Move right', 1, 0),
  pan('pan-up', 'ArrowUp', 'Move up', 0, -1),
  pan('pan-down', 'ArrowDown', 'Move down', 0, 1),
  {
    id: 'copy-makeup',
    name: 'Copy this make-up',
    group: 'layers',
    keys: ['Mod+C'],
    allowed: () => selection.section !== null && nothingMarked(),
    run: () => {
      if (selection.section !== null) layers.copy(selection.section);
    },
  },
  {
    id: 'paste-makeup',
    name: 'Apply the copied make-up',
    group: 'layers',
    keys: ['Mod+V'],
    allowed: () => selection.section !== null && layers.copied !== null && nothingMarked(),
    run: () => layers.give(),
  },
];

/** Keys of a single control, for the list of keys. `Mod` stands for Ctrl or Command. */
export const LOCAL_KEYS: readonly { group: Group; keys: string; what: string }[] = [
  { group: 'hour', keys: 'Left, Right', what: 'a quarter of an hour' },
  { group: 'hour', keys: 'Shift and Left, Right', what: 'a minute' },
  { group: 'hour', keys: 'Page Up, Page Down', what: 'an hour' },
  { group: 'hour', keys: 'Home, End', what: 'sunrise, sunset' },
  { group: 'date', keys: 'Left, Right', what: 'a day; with Shift a week' },
  { group: 'date', keys: 'Page Up, Page Down', what: 'a month' },
  { group: 'date', keys: 'Home, End', what: 'first and last day of the year' },
  { group: 'place', keys: 'Arrow keys', what: 'a degree, or with Shift ten; in the plan, a tenth of a metre' },
  { group: 'place', keys: 'Page Up, Page Down', what: 'an eighth of a turn' },
  { group: 'pieces', keys: 'Arrow keys', what: 'the next piece that way' },
  { group: 'pieces', keys: 'Shift and arrow keys', what: 'select it as well' },
  { group: 'pieces', keys: 'Mod and arrow keys', what: 'go there without selecting' },
  { group: 'pieces', keys: 'Enter', what: 'select this piece; at first, the one in the middle' },
  { group: 'pieces', keys: 'Space', what: 'add this piece, or remove it' },
  { group: 'view', keys: 'Alt and arrow keys', what: 'move the view' },
  { group: 'view', keys: 'Space and drag', what: 'move the view by hand' },
  { group: 'view', keys: 'Shift and drag', what: 'select a region' },
  { group: 'layers', keys: 'Up, Down', what: 'the next layer' },
  { group: 'layers', keys: 'Enter', what: 'open or close it' },
  { group: 'layers', keys: 'Alt Up, Alt Down', what: 'move it outward or inward' },
  { group: 'number', keys: 'Up, Down', what: 'a step or a day; with Shift, ten' },
  { group: 'number', keys: 'Enter', what: 'apply what is typed' },
];

const BY_ID = new Map(COMMANDS.map((command) => [command.id, command]));

export function command(id: CommandId): Command {
  const found = BY_ID.get(id);
  if (found === undefined) throw new Error(`There is no command "${id}".`);
  return found;
}

export const isAllowed = (one: Command): boolean => one.allowed?.() ?? true;
export const inFull = (one: Command): string => one.inFull?.() ?? one.name;
