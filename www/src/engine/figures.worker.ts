// Computes figures away from the page's thread. It answers one request at a time; the page decides which is next.
import type { Day, Figures, Glue, Report, Year } from './contract';
import { SceneFaults, asOurs } from './faults';
import type { FromWorker, ToWorker } from './messages';
import { instantiate } from './module';

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
  postMessage(message: FromWorker): void;
};

let glue: Glue | null = null;
let figures: Figures | null = null;
// Messages keep their order although the start waits for the module.
let chain: Promise<void> = Promise.resolve();

function need(): Figures {
  if (figures === null) throw new Error('The worker of figures has no scene yet.');
  return figures;
}

async function handle(message: ToWorker): Promise<void> {
  switch (message.kind) {
    case 'start':
      glue = await instantiate(message.module);
      figures = new glue.Figures(message.text);
      for (const edit of message.edits) figures.apply(edit);
      return;
    case 'open': {
      if (glue === null) throw new Error('The worker of figures has not been started.');
      const next = new glue.Figures(message.text);
      figures?.free();
      figures = next;
      return;
    }
    case 'apply':
      need().apply(message.edit);
      return;
    case 'preview':
      try {
        need().apply(message.edit);
      } catch (error) {
        if (!(asOurs(error) instanceof SceneFaults)) throw error;
      }
      return;
    case 'report': {
      const report = JSON.parse(need().report(message.at, message.place)) as Report;
      scope.postMessage({ kind: 'report', id: message.id, report });
      return;
    }
    case 'day': {
      const day = JSON.parse(need().day(message.date, message.place, message.part, message.parts)) as Day;
      scope.postMessage({ kind: 'day', id: message.id, day });
      return;
    }
    case 'year': {
      const year = JSON.parse(need().year(message.year, message.place, message.part, message.parts)) as Year;
      scope.postMessage({ kind: 'year', id: message.id, year });
    }
  }
}

scope.onmessage = ({ data }) => {
  chain = chain.then(async () => {
    try {
      await handle(data);
    } catch (raw) {
      const error = asOurs(raw);
      if (error instanceof SceneFaults && 'id' in data) {
        scope.postMessage({ kind: 'refused', id: data.id, faults: error.faults });
      } else {
        // Also an edit that the page could make and this copy could not: the two are no longer in step.
        scope.postMessage({ kind: 'trapped', message: error instanceof Error ? error.message : String(error) });
      }
    }
  });
};
