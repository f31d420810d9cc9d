/** Markup of each panel, by id. */
export type Panels = Readonly<Record<string, string>>;

/** Where one browser's updates go. */
export interface UpdateStream {
  /** Returns false when the browser has not yet taken what was sent before. */
  send(panels: Panels): boolean;
}

/**
 * Knows what each browser has been sent. A browser that does not take its updates is passed over;
 * it gets the newest panels when it is free again, and nothing in between.
 */
export class Viewers {
  readonly #viewers = new Map<UpdateStream, { has: Record<string, string>; isFree: boolean }>();
  #panels: Panels = {};

  get count(): number {
    return this.#viewers.size;
  }

  /** Adds a browser, and sends it everything. */
  add(stream: UpdateStream): void {
    this.#viewers.set(stream, { has: {}, isFree: true });
    this.#update(stream);
  }

  remove(stream: UpdateStream): void {
    this.#viewers.delete(stream);
  }

  /** The browser has taken what it was sent. */
  free(stream: UpdateStream): void {
    const viewer = this.#viewers.get(stream);
    if (viewer === undefined) return;
    viewer.isFree = true;
    this.#update(stream);
  }

  /** Takes the newest panels, and sends each browser that is free those which it lacks. */
  show(panels: Panels): void {
    this.#panels = panels;
    for (const stream of this.#viewers.keys()) this.#update(stream);
  }

  #update(stream: UpdateStream): void {
    const viewer = this.#viewers.get(stream);
    if (viewer === undefined || !viewer.isFree) return;
    const lacking = Object.entries(this.#panels).filter(([id, markup]) => viewer.has[id] !== markup);
    if (lacking.length === 0) return;
    Object.assign(viewer.has, Object.fromEntries(lacking));
    viewer.isFree = stream.send(Object.fromEntries(lacking));
  }
}
