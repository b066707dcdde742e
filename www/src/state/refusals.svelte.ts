// Changes that the scene refuses, each said beneath the field that was changed, as long as the scene is as it was.
import type { Edit, Overview } from '../engine/contract';
import { refusalWords } from './refusal-words';
import { scene } from './scene.svelte';

export class Refusals {
  #last = $state.raw<{ field: string; words: string; of: Overview | null } | null>(null);

  /** Makes an edit and returns whether it was taken; `field` and `label` name what was changed. */
  edit(field: string, label: string, edit: Edit): boolean {
    this.#last = null;
    return scene.editOr(edit, (faults) => {
      const places = scene.overview?.places.map(({ name }) => name) ?? [];
      this.#last = { field, words: refusalWords(faults, label, places), of: scene.overview };
    });
  }

  forget(): void {
    this.#last = null;
  }

  /** Why the last change of a field was refused; null if it was not. */
  at(field: string): string | null {
    const last = this.#last;
    return last !== null && last.field === field && last.of === scene.overview ? last.words : null;
  }
}
