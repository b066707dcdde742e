// Computes figures away from the page's thread. It answers one request at a time; the page decides which is next.
import type { Day, Figures, Ranges, Report, Year } from './contract';
import type { FiguresCalls } from './messages';
import { serve, unlessRefused } from './worker-serve';

let figures: Figures | null = null;

function need(): Figures {
  if (figures === null) throw new Error('The figures worker has no scene yet.');
  return figures;
}

serve<FiguresCalls>((glue) => ({
  open: ({ text, edits }) => {
    if (figures === null) figures = new glue.Figures(text);
    else figures.replace(text);
    for (const edit of edits) figures.apply(edit);
  },
  apply: (edit) => {
    need().apply(edit);
  },
  preview: (edit) => unlessRefused(() => need().apply(edit)),
  report: ({ at, place }, reply) => reply.answer(JSON.parse(need().report(at, place)) as Report),
  ranges: ({ at, place }, reply) => reply.answer(JSON.parse(need().ranges(at, place)) as Ranges | null),
  day: ({ date, place, part, parts }, reply) => reply.answer(JSON.parse(need().day(date, place, part, parts)) as Day),
  year: ({ year, place, part, parts }, reply) =>
    reply.answer(JSON.parse(need().year(year, place, part, parts)) as Year),
}));
