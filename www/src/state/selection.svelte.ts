// Which pieces are chosen, in the order of choosing. The last one is the primary: its section is shown.

export class Selection {
  pieces = $state.raw<readonly number[]>([]);
  readonly primary: number | null = $derived(this.pieces.at(-1) ?? null);
  /** A press adds a piece or takes it away, as with Shift held: for hands without a keyboard. */
  several = $state(false);

  /** This piece and no other; null lets all go. */
  only(piece: number | null): void {
    this.pieces = piece === null ? [] : [piece];
  }

  /** Adds a piece, or takes it away where it is chosen already. */
  toggle(piece: number): void {
    this.pieces = this.pieces.includes(piece) ? this.pieces.filter((id) => id !== piece) : [...this.pieces, piece];
  }

  /** These pieces and no others; with `add`, after those that are chosen already. */
  many(pieces: readonly number[], add = false): void {
    const kept = add ? this.pieces : [];
    this.pieces = [...new Set([...kept, ...pieces])];
  }

  /** Forgets what the window no longer has. */
  keep(there: ReadonlySet<number>): void {
    if (this.pieces.some((id) => !there.has(id))) this.pieces = this.pieces.filter((id) => there.has(id));
  }
}
