// Editor: the text. What is typed goes to the server whole, with the number of the text it grew out of.

/** @typedef {(what: string, more?: any) => void} Tell */

export class Editor {
  /**
   * @param {number} id of the editor's element
   * @param {Tell} tell
   */
  constructor(id, tell) {
    this.id = id;
    this.tell = tell;
    this.number = 0;
    /** @type {number[]} */
    this.lines = [];
    // Of the editor's own themes, two whose colours stand out by 4.5 from the page's surface.
    const dark = window.matchMedia("(prefers-color-scheme: dark)");
    const theme = () => this.do((part) => part.setTheme(dark.matches ? "sublime" : "eclipse"));
    dark.addEventListener("change", theme);
    theme();
  }

  /** The editor's component. */
  get part() {
    return /** @type {any} */ (window).getElement(this.id);
  }

  /** @param {(part: any) => void} act once the editor is there */
  do(act) {
    const part = this.part;
    if (part?.editor) act(part);
    else part?.editorPromise.then(() => act(this.part));
  }

  /** The user has typed. */
  typed() {
    const text = this.part.editor.state.doc.toString();
    this.tell("write", { number: this.number, text });
  }

  /** @param {{number: number, text: string}} given */
  take({ number, text }) {
    this.do((part) => {
      this.number = number;
      part.setEditorValue(text);
      this.paint();
    });
  }

  /** @param {number[]} lines to mark as wrong */
  mark(lines) {
    if (String(lines) === String(this.lines)) return;
    this.lines = lines;
    this.do(() => this.paint());
  }

  paint() {
    const part = this.part;
    const last = part.editor.state.doc.lines;
    part.setDecorations(
      this.lines.filter((line) => line <= last)
        .map((line) => ({ kind: "line", line, class: "f3d-wrong" })),
    );
  }

  /** @param {number} line to bring into view, with the cursor on it */
  go(line) {
    this.do((part) => {
      const view = part.editor;
      const at = view.state.doc.line(Math.min(line, view.state.doc.lines));
      view.dispatch({ selection: { anchor: at.to }, scrollIntoView: true });
      view.focus();
    });
  }
}
