// Steps through the variants: the scene as drawn, then each variant in order, then from the start again.
import { scene } from './scene.svelte';

class Variants {
  said = $state('');

  show(name: string | null): void {
    if (name !== (scene.overview?.shown ?? null)) scene.vary({ variant: 'show', name });
  }

  /** Shows the next one, or with -1 the previous one. The view does not change. */
  step(by: 1 | -1): void {
    const { overview } = scene;
    if (overview === null || overview.variants.length === 0) return;
    const names: (string | null)[] = [null, ...overview.variants.map((variant) => variant.name)];
    const at = Math.max(0, names.indexOf(overview.shown));
    this.show(names[(at + by + names.length) % names.length] ?? null);
    // Spoken only: a visible line that comes and goes would move the window being compared.
    this.said = `Shown: ${scene.overview?.shown ?? 'the scene as drawn'}`;
  }

  /** Duplicates a variant as "Dusk, 2", or with the next free number. */
  duplicate(name: string): void {
    const taken = new Set(scene.overview?.variants.map((variant) => variant.name));
    let to = name;
    for (let i = 2; taken.has(to); i += 1) to = `${name.slice(0, 90)}, ${i}`;
    scene.vary({ variant: 'duplicate', name, to });
  }

  /** "Variant A", or the next free letter. */
  freeName(): string {
    const taken = new Set(scene.overview?.variants.map((variant) => variant.name));
    for (let i = 0; i < 26; i += 1) {
      const name = `Variant ${String.fromCharCode(65 + i)}`;
      if (!taken.has(name)) return name;
    }
    return `Variant ${taken.size + 1}`;
  }
}

export const variants = new Variants();
