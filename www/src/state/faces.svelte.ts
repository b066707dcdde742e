// Which face the column beside the window shows: the reading and section, or place and light.

export const FACES = ['site', 'sky', 'position', 'room'] as const;
export type Face = (typeof FACES)[number];

class Faces {
  /** Null while place and light are closed. */
  open = $state<Face | null>(null);
}

export const faces = new Faces();
