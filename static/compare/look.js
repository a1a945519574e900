// How the page is looked at: larger type and the form of resistors, as chosen on the sheet in this browser.

const KEY = "farandole look";

function remembered() {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? "{}") ?? {};
  } catch {
    return {};
  }
}

export class PageLook {
  /** @param {HTMLElement} button that makes type larger @param {() => void} changed */
  constructor(button, changed) {
    const { larger = false, zigzag = false } = remembered();
    this.larger = larger === true;
    this.zigzag = zigzag === true;
    this.button = button;
    this.#dress();
    button.addEventListener("click", () => {
      this.larger = !this.larger;
      try {
        localStorage.setItem(KEY, JSON.stringify({ ...remembered(), larger: this.larger }));
      } catch {
        // A browser that keeps nothing still shows the choice until the page is left.
      }
      this.#dress();
      changed();
    });
  }

  #dress() {
    document.documentElement.classList.toggle("larger", this.larger);
    this.button.setAttribute("aria-pressed", String(this.larger));
  }
}
