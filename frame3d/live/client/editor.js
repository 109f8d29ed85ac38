// Editor: the text. Nothing that is typed is lost, whatever happens to the connection.
//
// The page knows the last text that it and the server agreed on: the base. What is typed goes out whole,
// with its base, and the server answers with the text after it, in which others' changes may be. One
// change is under way at a time, and goes out again until it is answered. A text from the server is taken
// over only where the editor shows the base; else what is typed goes out first, and the answer has both.
// What is not agreed on is also kept in the tab, so that it outlives a reload.

/** @typedef {(what: string, more?: any) => void} Tell */

/** After what time a change that is not answered goes out again [ms]. */
const AGAIN = 2000;

export class Editor {
  /**
   * @param {number} id of the editor's element
   * @param {Tell} tell
   */
  constructor(id, tell) {
    this.id = id;
    this.tell = tell;
    /** @type {string | null} what page and server agreed on last */
    this.base = null;
    /** Number of the text that the base is, and of the newest that the server has told of. */
    this.number = 0;
    this.newest = 0;
    /** Number of the change that is under way, or was last. */
    this.sequence = 0;
    /** @type {string | null} the text that is under way */
    this.sent = null;
    /** @type {number | undefined} */
    this.timer = undefined;
    /** Where the tab keeps what is not agreed on, and the tab's own name. */
    this.place = "";
    this.tab = "";
    /** @type {number[]} */
    this.lines = [];
    // Of the editor's own themes, two whose colours stand out by 4.5 from the page's surface.
    const dark = window.matchMedia("(prefers-color-scheme: dark)");
    const theme = () => this.do((part) => part.setTheme(dark.matches ? "sublime" : "eclipse"));
    dark.addEventListener("change", theme);
    theme();
    this.do(({ editor }) => {
      editor.contentDOM.setAttribute("aria-labelledby", "f3d-text-of");
      editor.contentDOM.setAttribute("aria-describedby", "f3d-way-out");
      editor.scrollDOM.tabIndex = 0; // arrow keys scroll it where its text cannot be typed into
    });
    this.height = 0;
    this.do((part) => {
      new ResizeObserver(() => this.resized(part.editor)).observe(part.editor.scrollDOM);
    });
  }

  /**
   * Keep the line with the cursor in view where something beside the text takes room from it.
   * @param {any} view
   */
  resized(view) {
    const before = this.height;
    const { scrollTop, clientHeight } = view.scrollDOM;
    this.height = clientHeight;
    const line = view.lineBlockAt(view.state.selection.main.head);
    const [top, bottom] = [line.top, line.bottom].map((y) => y + view.documentPadding.top - scrollTop);
    const near = view.defaultLineHeight / 2; // half a line counts as seen, and stays below it
    if (top < -near || bottom > before + near || bottom + near <= clientHeight) return;
    view.scrollDOM.scrollTop += bottom + near - clientHeight;
  }

  /** The editor's component. */
  get part() {
    return /** @type {any} */ (window).getElement(this.id);
  }

  /** What the editor shows. */
  get text() {
    return this.part.editor.state.doc.toString();
  }

  /** @param {(part: any) => void} act once the editor is there */
  do(act) {
    const part = this.part;
    if (part?.editor) act(part);
    else part?.editorPromise.then(() => act(this.part));
  }

  /** The user has typed. */
  typed() {
    if (this.base === null) return;
    this.keep();
    if (this.sent === null) this.send();
  }

  /** Send what the editor shows. */
  send() {
    this.sent = this.text;
    this.sequence += 1;
    this.keep();
    this.offer();
  }

  offer() {
    const { tab, sequence, base, sent } = this;
    this.tell("write", { tab, sequence, base, text: sent });
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.offer(), AGAIN);
  }

  /**
   * The server's answer to a change.
   * @param {{sequence: number, number: number, text: string | null}} given text after it, null for the same
   */
  wrote({ sequence, number, text }) {
    if (this.sent === null || sequence !== this.sequence) return;
    clearTimeout(this.timer);
    const { sent } = this;
    this.sent = null;
    if (this.text === sent) this.agree(text ?? sent, number);
    else this.base = sent; // others' changes come with the next answer
    this.keep();
    this.catchUp();
  }

  /** @param {{number: number, text: string, file?: string}} given the text as it is on the server */
  take({ number, text, file }) {
    this.do(() => {
      this.newest = Math.max(this.newest, number);
      if (this.base === null) this.begin(text, number, file ?? "");
      else if (this.sent === null && number > this.number && this.text === this.base) {
        this.agree(text, number);
      }
      this.catchUp();
    });
  }

  /**
   * The first text. What the tab still keeps from before a reload goes out again, under its number: the
   * server knows whether it has come already.
   * @param {string} text
   * @param {number} number
   * @param {string} file
   */
  begin(text, number, file) {
    this.place = `f3d ${file}`;
    const kept = JSON.parse(sessionStorage.getItem(this.place) ?? "{}");
    this.tab = kept.tab ?? String(crypto.getRandomValues(new Uint32Array(4)));
    this.sequence = kept.sequence ?? 0;
    if (kept.text === undefined) return this.agree(text, number);
    [this.base, this.sent] = [kept.base, kept.sent];
    this.part.setEditorValue(kept.text);
    if (this.sent !== null) this.offer();
  }

  /** @param {number} number of the newest text on the server */
  hear(number) {
    this.newest = Math.max(this.newest, number);
    if (this.base !== null) this.do(() => this.catchUp());
  }

  /** Send, where the editor shows another text than the server has. */
  catchUp() {
    if (this.sent === null && (this.text !== this.base || this.number < this.newest)) this.send();
  }

  /**
   * @param {string} text that both have
   * @param {number} number
   */
  agree(text, number) {
    this.part.setEditorValue(text);
    [this.base, this.number] = [this.text, number];
    this.paint();
  }

  /** Keep what is not agreed on over a reload of the page. */
  keep() {
    const { tab, sequence, base, sent, text } = this;
    const agreed = sent === null && text === base;
    const kept = agreed ? { tab, sequence } : { tab, sequence, base, sent, text };
    sessionStorage.setItem(this.place, JSON.stringify(kept));
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
