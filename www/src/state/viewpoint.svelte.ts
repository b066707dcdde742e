// Which window is viewed, and from which of the scene's viewing positions.
import type { Place, WindowOutline } from '../engine/contract';
import { scene } from './scene.svelte';

class Viewpoint {
  windowId = $state('');
  placeName = $state('');
  #placeIndex = 0;

  readonly window: WindowOutline | null = $derived(
    scene.overview?.windows.find((w) => w.id === this.windowId) ?? scene.overview?.windows[0] ?? null,
  );
  readonly place: Place | null = $derived(scene.overview?.places.find((p) => p.name === this.placeName) ?? null);

  /** Called when the window or viewing position changes. */
  moved: (what: 'window' | 'place') => void = () => undefined;

  setWindow(id: string): void {
    this.windowId = id;
    this.moved('window');
  }

  setPlace(name: string): void {
    scene.before();
    this.#put(name);
    this.moved('place');
  }

  /** Starts with the first window and place of a scene. */
  reset(): void {
    this.windowId = scene.overview?.windows[0]?.id ?? '';
    this.#put(scene.overview?.places[0]?.name ?? '');
  }

  /** Adjusts to a change of the scene. */
  follow(): void {
    const places = scene.overview?.places ?? [];
    // A renamed place is still the same place.
    const known = places.some((place) => place.name === this.placeName);
    this.#put(known ? this.placeName : ((places[this.#placeIndex] ?? places[0])?.name ?? ''));
  }

  #put(name: string): void {
    this.placeName = name;
    this.#placeIndex = scene.overview?.places.findIndex((place) => place.name === name) ?? 0;
  }
}

export const viewpoint = new Viewpoint();
