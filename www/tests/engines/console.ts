// What goes wrong on the page: WebKit's driver has no command for the console, so the page itself collects it, in the
// same way in every browser.
import type { Engine } from './engine';

interface Collecting {
  complaints: string[];
}

/** The script that collects. The page runs it before anything else. */
export const COLLECT = `(${collect.toString()})()`;

function collect(): void {
  const KEY = 'complaints of this test';
  // What was collected before a reload stays.
  const complaints: string[] = JSON.parse(sessionStorage.getItem(KEY) ?? '[]');
  const add = (what: string): void => {
    complaints.push(what);
    sessionStorage.setItem(KEY, JSON.stringify(complaints));
  };
  (window as unknown as Collecting).complaints = complaints;
  for (const level of ['error', 'warn'] as const) {
    const write = console[level].bind(console);
    console[level] = (...given: unknown[]) => {
      add(`console.${level}: ${given.map(String).join(' ')}`);
      write(...given);
    };
  }
  // Errors of elements, such as a picture that does not load, do not bubble.
  const onerror = (event: ErrorEvent | Event): void => {
    const { target } = event;
    add(target instanceof Element ? `not loaded: ${target.outerHTML}` : `error: ${(event as ErrorEvent).message}`);
  };
  window.addEventListener('error', onerror, { capture: true });
  window.addEventListener('unhandledrejection', ({ reason }) => add(`rejected: ${String(reason)}`));
  document.addEventListener('securitypolicyviolation', ({ violatedDirective, blockedURI }) =>
    add(`refused by ${violatedDirective}: ${blockedURI}`),
  );
  const Original = Worker;
  window.Worker = class extends Original {
    constructor(...given: ConstructorParameters<typeof Worker>) {
      super(...given);
      this.addEventListener('error', ({ message }) => add(`error in a worker: ${message}`));
    }
  };
}

/** Everything that went wrong so far, on earlier loads of the page too. */
export const complaintsOf = (engine: Engine): Promise<string[]> =>
  engine.ask(() => (window as unknown as { complaints: string[] }).complaints);
