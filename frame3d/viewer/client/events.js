// Events: a list of listeners by name.

/** @typedef {(detail: any) => void} Listener */

export class Events {
  constructor() {
    /** @type {Map<string, Set<Listener>>} */
    this.listeners = new Map();
  }

  /**
   * Call a function at every event of a name.
   * @param {string} name
   * @param {Listener} listener
   * @returns {() => void} stops it
   */
  on(name, listener) {
    const all = this.listeners.get(name) ?? new Set();
    this.listeners.set(name, all.add(listener));
    return () => all.delete(listener);
  }

  /**
   * Tell the listeners of a name.
   * @param {string} name
   * @param {any} [detail]
   */
  emit(name, detail) {
    for (const listener of [...(this.listeners.get(name) ?? [])]) listener(detail);
  }

  /** Forget all listeners. */
  clear() {
    this.listeners.clear();
  }
}
