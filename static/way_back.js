// The way back to the sheet, which this tab remembers: from a page that was opened from it, whose own address says nothing of it.

const BACK = "farandole way back";

/** Called on the sheet, before another page is opened from it. */
export function rememberWay() {
  try {
    sessionStorage.setItem(BACK, location.href);
  } catch {
    // A browser that keeps nothing goes back to the first page.
  }
}

/** Where the sheet is that this page came from; null where the tab does not know. */
export function wayBack() {
  try {
    const address = new URL(sessionStorage.getItem(BACK) ?? "", location.href);
    return address.origin === location.origin && /^https?:$/.test(address.protocol) && address.pathname !== location.pathname ? address.href : null;
  } catch {
    return null;
  }
}
