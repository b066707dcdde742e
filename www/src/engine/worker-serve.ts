// The worker's side: instantiates the module, handles one request after another, and reports the result.
import type { Glue } from './contract';
import { SceneFaults, asOurs, messageOf } from './faults';
import type { Call, FromWorker, ToWorker } from './messages';
import { instantiate } from './module';

/** How a request is answered; the answer is dropped if none was requested. */
export interface Reply<Answer, Progress> {
  progress(value: Progress, transfer?: Transferable[]): void;
  answer(value: Answer, transfer?: Transferable[]): void;
  /** Reports a failure after the handler has returned. */
  fail(error: unknown): void;
}

/** The next request waits until the handler's promise settles. */
type Handler<C> =
  C extends Call<infer Given, infer Answer, infer Progress>
    ? (given: Given, reply: Reply<Answer, Progress>) => void | Promise<void>
    : never;

export type Handlers<Calls> = { [Name in keyof Calls]: Handler<Calls[Name]> };

type AnyHandlers = Record<string, (given: unknown, reply: Reply<unknown, unknown>) => void | Promise<void>>;

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
  postMessage(message: FromWorker, transfer?: Transferable[]): void;
};

/** The instance, or what it draws on, is no longer usable. */
export function trapped(error: unknown): void {
  scope.postMessage({ kind: 'trapped', message: messageOf(error) });
}

function replyTo(id: number | null): Reply<unknown, unknown> {
  return {
    progress: (value, transfer = []) => id !== null && scope.postMessage({ kind: 'progress', id, value }, transfer),
    answer: (value, transfer = []) => id !== null && scope.postMessage({ kind: 'answer', id, value }, transfer),
    fail: (raw) => {
      const error = asOurs(raw);
      // A refusal without a receiver means that this copy of the scene no longer matches the page's.
      if (error instanceof SceneFaults && id !== null) {
        scope.postMessage({ kind: 'refused', id, faults: error.faults });
      } else {
        trapped(error);
      }
    },
  };
}

/** Serves the page with the handlers for a fresh instance of the page's first module. */
export function serve<Calls>(handlers: (glue: Glue) => Handlers<Calls>): void {
  serveWith(instantiate, handlers);
}

/** The same with another module, of which `start` makes an instance. */
export function serveWith<Calls, Module>(
  start: (module: WebAssembly.Module) => Promise<Module>,
  handlers: (glue: Module) => Handlers<Calls>,
): void {
  let serving: AnyHandlers | null = null;
  // Messages keep their order even while the start waits for the module.
  let chain: Promise<void> = Promise.resolve();

  async function handle(message: ToWorker): Promise<void> {
    if ('module' in message) {
      serving = handlers(await start(message.module));
      return;
    }
    const handler = serving?.[message.name];
    if (handler === undefined) throw new Error(`The worker does not know "${message.name}".`);
    await handler(message.given, replyTo(message.id));
  }

  scope.onmessage = ({ data }) => {
    const id = 'module' in data ? null : data.id;
    chain = chain.then(() => handle(data).catch((error: unknown) => replyTo(id).fail(error)));
  };
}

/** A call that may be refused silently, such as the preview of an edit. */
export function unlessRefused(call: () => void): void {
  try {
    call();
  } catch (error) {
    if (!(asOurs(error) instanceof SceneFaults)) throw error;
  }
}
