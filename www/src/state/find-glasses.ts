// Finds glasses by what a person types.
import type { GlassFamily } from '../engine/contract';

const wordsOf = (text: string): string[] => text.toLocaleLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];

/** The glasses in whose name, family, kind or provenance a word begins with each word typed; families left empty go. */
export function findGlasses(racks: readonly GlassFamily[], typed: string): GlassFamily[] {
  const sought = wordsOf(typed);
  return racks
    .map(({ family, glasses }) => ({
      family,
      glasses: glasses.filter(({ name, kind, provenance }) => {
        const there = wordsOf(`${name} ${family} ${kind} ${provenance}`);
        return sought.every((word) => there.some((one) => one.startsWith(word)));
      }),
    }))
    .filter(({ glasses }) => glasses.length > 0);
}
