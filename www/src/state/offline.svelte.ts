// The page kept on this machine: it works without a network after one visit, and asks before a new version takes over.
import { Workbox } from 'workbox-window';

/** A page that stays open checks for a new version when it becomes visible again, but no more often than this. */
const ASK_AGAIN_MS = 60 * 60 * 1000;

type Kept =
  /** Development server, old browser, insecure address or a browser that forbids it: the page still works online. */
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
  /** What the browser has offered for installing the page, where it does. */
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

  /** Once the window is lit: what is kept is fetched beside what is shown, not before it. */
  async start(): Promise<void> {
    if (import.meta.env.DEV || this.#workbox !== null || !('serviceWorker' in navigator)) return;
    const workbox = new Workbox('./sw.js');
    this.#workbox = workbox;
    workbox.addEventListener('waiting', () => (this.update = 'ready'));
    workbox.addEventListener('controlling', (event) => {
      // The first worker of all takes over nothing.
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
    // Without a network there is nothing new to be had.
    void this.#workbox?.update().catch(() => undefined);
  }

  /** The new version takes over and the page is loaded again with it. */
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
    // An offer holds for one question.
    this.install = null;
    await offered?.prompt();
  }
}

export const offline = new Offline();
