// Stores the page on this machine: it works offline after one visit, and asks before it updates.
import { Workbox } from 'workbox-window';

/** A page that stays open checks for a new version when it becomes visible again, but no more often than this. */
const ASK_AGAIN_MS = 60 * 60 * 1000;

type Kept =
  /** Development server, old browser, insecure address, or forbidden by the browser: works online only. */
  'not here' | 'being kept' | 'kept';

type Update =
  | 'none'
  /** Downloaded and waiting. */
  | 'ready'
  /** Accepted; the page is about to reload. */
  | 'taking'
  /** Another tab has updated; this one still shows the old version. */
  | 'taken elsewhere';

interface InstallPrompt extends Event {
  prompt(): Promise<unknown>;
}

class Offline {
  kept = $state<Kept>('not here');
  update = $state<Update>('none');
  /** Postponed: hidden until the page is reloaded. */
  putOff = $state(false);
  /** The browser's offer to install the page, if any. */
  install = $state.raw<InstallPrompt | null>(null);

  #workbox: Workbox | null = null;
  #asked = 0;

  constructor() {
    addEventListener('beforeinstallprompt', (event) => {
      event.preventDefault();
      this.install = event as InstallPrompt;
    });
    addEventListener('appinstalled', () => (this.install = null));
  }

  /** Called once the window is lit, so that storing the page does not delay showing it. */
  async start(): Promise<void> {
    if (import.meta.env.DEV || this.#workbox !== null || !('serviceWorker' in navigator)) return;
    const workbox = new Workbox('./sw.js');
    this.#workbox = workbox;
    workbox.addEventListener('waiting', () => (this.update = 'ready'));
    workbox.addEventListener('controlling', (event) => {
      // The very first worker replaces no other.
      if (this.update === 'taking') location.reload();
      else if (event.isUpdate === true || event.isExternal === true) this.#takenElsewhere();
    });
    workbox.addEventListener('activated', () => (this.kept = 'kept'));
    try {
      this.kept = navigator.serviceWorker.controller === null ? 'being kept' : 'kept';
      await workbox.register();
      this.#asked = Date.now();
      void navigator.serviceWorker.ready.then(() => (this.kept = 'kept'));
      document.addEventListener('visibilitychange', () => this.#lookedAt());
    } catch {
      this.kept = 'not here';
    }
  }

  #takenElsewhere(): void {
    this.update = 'taken elsewhere';
    this.putOff = false;
  }

  #lookedAt(): void {
    if (document.visibilityState !== 'visible' || Date.now() - this.#asked < ASK_AGAIN_MS) return;
    this.#asked = Date.now();
    // Offline, there is no new version to find.
    void this.#workbox?.update().catch(() => undefined);
  }

  /** Activates the new version and reloads the page. */
  take(): void {
    if (this.update === 'ready') {
      this.update = 'taking';
      this.#workbox?.messageSkipWaiting();
    } else if (this.update === 'taken elsewhere') {
      location.reload();
    }
  }

  later(): void {
    this.putOff = true;
  }

  async installNow(): Promise<void> {
    const offered = this.install;
    // The offer can be used only once.
    this.install = null;
    await offered?.prompt();
  }
}

export const offline = new Offline();
