// Which window is looked at, and from which of the scene's places.
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

  /** Another window or place is looked at or from. */
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

  /** The first window and place of a scene. */
  reset(): void {
    this.windowId = scene.overview?.windows[0]?.id ?? '';
    this.#put(scene.overview?.places[0]?.name ?? '');
  }

  /** After a change of the scene. */
  follow(): void {
    const places = scene.overview?.places ?? [];
    // A place that has another name is the same place.
    const known = places.some((place) => place.name === this.placeName);
    this.#put(known ? this.placeName : ((places[this.#placeIndex] ?? places[0])?.name ?? ''));
  }

  #put(name: string): void {
    this.placeName = name;
    this.#placeIndex = scene.overview?.places.findIndex((place) => place.name === name) ?? 0;
  }
}

export const viewpoint = new Viewpoint();
