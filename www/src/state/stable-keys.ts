// Keys for the things of a list that have none of their own, so that what is typed at one stays with it when another is
// added or taken away.

export class StableKeys {
  #before: readonly string[] = [];
  #keys: readonly number[] = [];
  #made = 0;
  #leaving: number | null = null;

  /** One that is about to be taken away, by its place; of several alike nothing else tells which it is. Null: none. */
  leaving(at: number | null): void {
    this.#leaving = at;
  }

  /** The keys of the things as they are now. */
  of(things: readonly unknown[]): readonly number[] {
    const now = things.map((thing) => JSON.stringify(thing));
    const before = this.#before;
    const less = before.length - now.length;
    if (less !== 0) {
      const fresh = Array.from({ length: Math.max(0, -less) }, () => (this.#made += 1));
      this.#keys = this.#keys.toSpliced(this.#first(before, now), Math.max(0, less), ...fresh);
    }
    this.#before = now;
    this.#leaving = null;
    return this.#keys;
  }

  /** Where things were added or taken away. */
  #first(before: readonly string[], now: readonly string[]): number {
    const left = this.#leaving;
    if (left !== null && before.length === now.length + 1) {
      if (now.every((text, i) => text === before[i < left ? i : i + 1])) return left;
    }
    const differs = now.findIndex((text, i) => text !== before[i]);
    return differs === -1 ? Math.min(now.length, before.length) : differs;
  }
}
