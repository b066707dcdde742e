// Fetches the parts of the page that load after it.

/** The server no longer has this part: it has a newer version of the page. */
export class Outdated extends Error {
  constructor() {
    super('the page has been updated: reload it');
    this.name = 'Outdated';
  }
}

/** Rejects with `Outdated` where the server no longer has it. */
export async function fetchPart(address: string): Promise<Response> {
  const response = await fetch(address);
  if (response.status === 404) throw new Outdated();
  if (!response.ok) throw new Error(`${response.url}: the server answered ${response.status}`);
  return response;
}
