// The few texts that a browser runs or reads as markup: an address of this site, and a drawing. Where the browser asks for it
// (Trusted Types, see the policy that checker/dev/site/finish.py puts into the page), nothing else is let through.

const POLICY = globalThis.trustedTypes?.createPolicy("spareway", { createScriptURL: own, createHTML: drawing });

function own(text) {
  if (new URL(text).origin !== location.origin) throw new TypeError(`${text} is not of this site`);
  return text;
}

function drawing(text) {
  if (!text.startsWith("<svg ")) throw new TypeError("the drawing is not one of ours");
  return text;
}

/** The address of a worker. */
export function script(url) {
  return POLICY ? POLICY.createScriptURL(String(url)) : url;
}

/** The root of a drawing of the core: read as SVG, never as HTML; nothing in it may run or load. */
export function read(svg) {
  const root = new DOMParser().parseFromString(POLICY ? POLICY.createHTML(svg) : svg, "image/svg+xml").documentElement;
  if (root.localName !== "svg" || root.querySelector("script, foreignObject, image, use, a")) throw new Error("the drawing is not one of ours");
  return root;
}
