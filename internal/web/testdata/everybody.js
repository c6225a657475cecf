// What the tests of the browser ask a page beside axe. Each function gives the places where something is wrong, as text.
// It is evaluated by DevTools in every page, and gives nothing to the page.
globalThis.everybody = (() => {
  const path = (e) => { const at = []; for (; e && e !== document.body && at.length < 4; e = e.parentElement) at.unshift(e.localName + (e.id ? "#" + e.id : e.classList.length ? "." + [...e.classList].join(".") : "")); return at.join(" > "); };
  const short = (e) => `${path(e)}: ${e.outerHTML.replace(/\s+/g, " ").slice(0, 140)}`;
  const seen = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && e.getClientRects().length > 0;
  const pressed = "a[href], button, input:not([type=hidden]), select, textarea, summary";

  // A link in a sentence is as tall as its line: WCAG 2.5.8 exempts it. What stands alone in its block is no sentence.
  const inSentence = (e) => {
    if (e.localName !== "a" || getComputedStyle(e).display !== "inline") return false;
    let block = e.parentElement;
    while (block && getComputedStyle(block).display === "inline") block = block.parentElement;
    const words = document.createTreeWalker(block, NodeFilter.SHOW_TEXT);
    while (words.nextNode()) if (/\p{L}/u.test(words.currentNode.data) && !words.currentNode.parentElement.closest(pressed)) return true;
    return false;
  };

  // The whole of what takes the press: a label belongs to its tick or its round button.
  const area = (e) => {
    const boxes = [e, ...((e.type === "radio" || e.type === "checkbox") ? e.labels : [])].map((x) => x.getBoundingClientRect());
    return { w: Math.max(...boxes.map((b) => b.width)), h: Math.max(...boxes.map((b) => b.height)), right: Math.max(...boxes.map((b) => b.right)), bottom: Math.max(...boxes.map((b) => b.bottom)) };
  };

  // Things to press that are smaller than so many pixels.
  const small = (least) => [...document.querySelectorAll(pressed)].filter((e) => seen(e) && !e.disabled && !inSentence(e)).flatMap((e) => {
    const a = area(e);
    const away = a.w < 2 || getComputedStyle(e).clipPath === "inset(50%)" || a.right <= 0 || a.bottom + scrollY <= 0; // kept out of sight until it has the focus
    return away || (a.w >= least - .5 && a.h >= least - .5) ? [] : [`${Math.round(a.w)} × ${Math.round(a.h)} px: ${short(e)}`];
  });

  // Channels of a colour from 0 to 1, and what the eye makes of them (WCAG 2.2, relative luminance).
  const pen = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });
  const channels = (colour) => { pen.clearRect(0, 0, 1, 1); pen.fillStyle = colour; pen.fillRect(0, 0, 1, 1); return [...pen.getImageData(0, 0, 1, 1).data].map((c) => c / 255); };
  const light = ([r, g, b]) => { const f = (c) => c <= .04045 ? c / 12.92 : ((c + .055) / 1.055) ** 2.4; return .2126 * f(r) + .7152 * f(g) + .0722 * f(b); };
  const contrast = (a, b) => { const [x, y] = [light(channels(a)), light(channels(b))].sort((p, q) => q - p); return (x + .05) / (y + .05); };
  const ground = (e) => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (channels(c)[3] > .99) return c; } return "#fff"; };

  // Things the keyboard reaches whose focus cannot be seen: an outline of 2 px or more, 3:1 or better against what is around it.
  const unseenFocus = () => {
    const before = document.activeElement, known = new Set(), out = [];
    for (const e of document.querySelectorAll(pressed + ", [tabindex='0']")) {
      if (!seen(e) || e.disabled) continue;
      const look = [e.localName, e.type, e.getAttribute("class"), e.parentElement.getAttribute("class"), e.parentElement.localName, getComputedStyle(e).backgroundColor].join("|");
      if (known.has(look)) continue; // one of each look
      known.add(look);
      e.focus({ focusVisible: true, preventScroll: true });
      if (document.activeElement !== e) { out.push(`takes no focus: ${short(e)}`); continue; }
      const s = getComputedStyle(e), after = getComputedStyle(e, "::after"), around = parseFloat(s.outlineOffset) >= 0 ? ground(e.parentElement) : ground(e);
      if (s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2) {
        const c = contrast(s.outlineColor, around);
        if (c < 3) out.push(`an outline of ${c.toFixed(1)}:1 (${s.outlineColor} on ${around}): ${short(e)}`);
      } else if (after.content !== "none" && after.borderTopStyle === "solid" && parseFloat(after.borderTopWidth) >= 2) { // a frame laid over it
        const c = contrast(after.borderTopColor, around);
        if (c < 3) out.push(`a frame of ${c.toFixed(1)}:1: ${short(e)}`);
      } else if (e.ownerSVGElement && [...e.querySelectorAll("*")].some((x) => parseFloat(getComputedStyle(x).strokeWidth) >= 2 && getComputedStyle(x).stroke !== "none" && seen(x))) {
        continue; // a value of a figure shows its ring and its words
      } else out.push(`outline ${s.outlineStyle} ${s.outlineWidth}: ${short(e)}`);
    }
    before?.focus?.({ preventScroll: true });
    return out;
  };

  // Pictures that say nothing: each has a role and a name, or is kept from those who hear the page.
  const unnamedPictures = () => [...document.querySelectorAll("svg, img, canvas")].filter((e) => seen(e) && !e.closest("[aria-hidden=true]")).filter((e) => {
    const by = (e.getAttribute("aria-labelledby") ?? "").split(" ").map((id) => id && document.getElementById(id)?.textContent.trim()).join("");
    const name = by || e.getAttribute("aria-label")?.trim() || (e.localName === "img" && e.hasAttribute("alt"));
    return !(name && (e.localName === "img" || ["img", "group", "figure", "application"].includes(e.getAttribute("role"))));
  }).map(short);

  // What runs over the right edge of the page, and what stays before the words wherever the page is scrolled to.
  const over = () => {
    const root = document.documentElement, much = root.scrollWidth - root.clientWidth, out = [];
    if (much > 0) {
      out.push(`the page runs ${much} px over`);
      for (const e of document.body.querySelectorAll("*")) if (e.getBoundingClientRect().right > root.clientWidth + .5 && !e.closest(".scroll, .plot, svg") && out.length < 5) out.push(short(e));
    }
    for (const e of document.querySelectorAll("body *")) { // what is asked before the page goes on may stand before it
      const p = getComputedStyle(e).position;
      if ((p === "fixed" || p === "sticky") && seen(e) && !e.closest(".scroll") && !e.matches(":modal") && e.getBoundingClientRect().height > innerHeight / 2) out.push(`stands before half of the page: ${short(e)}`);
    }
    return out;
  };

  // What still moves although less motion is asked for.
  const moving = () => [...document.querySelectorAll("*")].flatMap((e) => [null, "::before", "::after"].flatMap((part) => {
    const s = getComputedStyle(e, part);
    const most = (text) => Math.max(...text.split(",").map((x) => parseFloat(x) * (x.trim().endsWith("ms") ? 1 : 1000)));
    return (s.animationName !== "none" && most(s.animationDuration) > 10) || most(s.transitionDuration) > 10 || s.scrollBehavior === "smooth" ? [short(e)] : [];
  }));

  // One element of each look that holds words of its own: what axe finds of the colours of one, it finds of all.
  const looks = () => {
    const known = new Map();
    const faint = (e) => e ? faint(e.parentElement) * getComputedStyle(e).opacity : 1;
    const lookOf = (e) => { const s = getComputedStyle(e); return [e.localName, e.getAttribute("class"), e.parentElement.getAttribute("class"), s.color, s.fill, s.fontSize, s.fontWeight, s.backgroundImage, faint(e), ground(e)].join("|"); };
    for (const e of document.body.querySelectorAll("*")) {
      if (![...e.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim()) && !e.matches("input, select, textarea")) continue;
      if (!seen(e)) continue;
      const l = lookOf(e);
      if (!known.has(l)) known.set(l, e);
    }
    return [...known.values()];
  };

  return { small, unseenFocus, unnamedPictures, over, moving, looks };
})();
