// The one place that decides what is read or computed again when the scene, the hour, the viewpoint or the selection
// changes. The objects themselves do not know each other's needs.
import { touchesOnlyAttachments } from '../engine/attached';
import { attachments } from './attachments.svelte';
import { autosave } from './autosave.svelte';
import { changesLight, changesLines, changesSection } from './changes';
import { clock } from './clock.svelte';
import { figures } from './figures.svelte';
import { lineCheck } from './line-check.svelte';
import { picture } from './picture.svelte';
import { preview } from './preview.svelte';
import { scene } from './scene.svelte';
import { selection } from './selection.svelte';
import { side } from './side.svelte';
import { wallView } from './view.svelte';
import { viewpoint } from './viewpoint.svelte';

export function connect(): void {
  scene.before = () => clock.commit();

  autosave.reopened = () => void attachments.check();

  scene.opened = () => {
    preview.forget();
    clock.reset();
    viewpoint.reset();
    selection.choose(null);
    wallView.reset();
    figures.open(scene.shownText());
    figures.askReport();
    figures.askDay(true);
    figures.followYear(true);
    picture.redraw();
    lineCheck.opened();
    void attachments.opened();
  };

  scene.changed = (changes, made) => {
    if (changes === 'everything' || changes.attachments !== undefined) void attachments.follow();
    // The copies of the scene need not know of it: nothing they work out depends on it.
    if (made !== null && changes !== 'everything' && touchesOnlyAttachments(changes)) return;
    if (made !== null) {
      preview.forget();
      figures.follow(made);
      picture.follow(made);
    } else {
      // The document was rebuilt: its copies may have missed the action that trapped.
      figures.open(scene.shownText());
    }
    clock.follow();
    viewpoint.follow();
    selection.follow();
    if (made === null || changesSection(changes)) selection.readSection();
    if (changesLines(changes)) lineCheck.follow();
    // A report in progress belongs to the previous scene, whatever has changed.
    figures.askReport();
    figures.askDay(changesLight(changes));
    figures.followYear(changesLight(changes));
    picture.redraw();
  };

  clock.shown = () => {
    picture.redraw();
    figures.askReport();
    selection.readSectionSoon();
  };

  viewpoint.moved = (what) => {
    if (what === 'window') {
      selection.choose(null);
      wallView.reset();
      lineCheck.follow();
    } else {
      figures.askReport();
      figures.askDay(true);
      figures.followYear(true);
    }
    picture.redraw();
  };

  selection.changed = (byReader) => {
    if (selection.primary === null) side.close('section', 'glasses');
    // The list of glasses stays open when another piece is selected.
    else if (byReader && side.panel !== 'glasses') side.open('section');
  };

  side.beneath = () => (selection.primary === null ? 'reading' : 'section');

  figures.answered = () => preview.answered();
  figures.interrupted = () => preview.interrupted();

  // Start the figures only now, so that they do not slow down the first picture.
  picture.settled = () => {
    if (picture.module !== null && scene.revision() !== null) figures.begin(picture.module);
  };
}
