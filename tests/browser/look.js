// Looks at the page in each frame and writes what it sees into an element of the holder.
const frames = [...document.querySelectorAll("iframe")];
const errors = frames.map(() => []);

// Relative luminance and contrast: WCAG 2.1, definitions.
const light = ([r, g, b]) => {
  const part = (c) => ((c /= 255) <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
  return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
};
const contrast = (a, b) => {
  const [high, low] = [light(a), light(b)].sort((x, y) => y - x);
  return (high + 0.05) / (low + 0.05);
};
const colour = (text) => (text.match(/[\d.]+/g) || [0, 0, 0]).map(Number);

function ground(view, element) {
  for (let e = element; e; e = e.parentElement) {
    const [r, g, b, alpha = 1] = colour(view.getComputedStyle(e).backgroundColor);
    if (alpha > 0) return [r, g, b];
  }
  return [255, 255, 255];
}

function look(frame, at) {
  const page = frame.contentDocument, view = frame.contentWindow;
  const told = {};
  use(page, view, told);
  const pale = [], small = [], targets = [];
  let letters = Infinity;
  const walker = page.createTreeWalker(page.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const words = walker.currentNode.textContent.trim(), element = walker.currentNode.parentElement;
    // Titles of shapes are for readers; white letters below dark ones keep lines off them.
    if (!words || element.closest("script,style,title,desc,[aria-hidden]")) continue;
    const style = view.getComputedStyle(element), drawn = element.closest("svg");
    const ink = colour(drawn ? style.fill : style.color);
    if (contrast(ink, drawn ? [255, 255, 255] : ground(view, element)) < 4.5) pale.push(words);
    const scale = drawn ? drawn.getScreenCTM().a : 1;
    letters = Math.min(letters, parseFloat(style.fontSize) * scale);
    if (parseFloat(style.fontSize) * scale < 9) small.push(words);
  }
  for (const target of page.querySelectorAll("nav a, .steps label, .controls input, .controls select")) {
    if (target.getBoundingClientRect().height < 44) targets.push(target.textContent.trim());
  }
  const outside = [...page.querySelectorAll("td, th, dt, dd")].filter((cell) => {
    const box = cell.getBoundingClientRect();
    return box.left < -0.5 || box.right > view.innerWidth + 0.5;
  });
  // What is scrolled sideways inside the page; the bar of sections is meant to be.
  const sideways = [...page.querySelectorAll("body *:not(nav)")].filter((element) => {
    const hides = view.getComputedStyle(element).overflowX !== "visible";
    return hides && !element.closest("svg") && element.scrollWidth > element.clientWidth + 1;
  });
  const all = (css, of) => [...page.querySelectorAll(css)].map(of);
  return {
    state: page.readyState,
    width: page.documentElement.scrollWidth,
    errors: errors[at],
    requests: view.performance.getEntriesByType("resource").map((entry) => entry.name),
    told,
    pale,
    small,
    targets,
    outside: outside.map((cell) => cell.textContent.trim()),
    letters,
    height: page.body.getBoundingClientRect().height,
    sideways: sideways.map((element) => element.textContent.trim().slice(0, 80)),
    pictures: page.querySelectorAll("figure svg").length,
    links: all("nav a", (a) => a.getAttribute("href")),
    sections: all("section", (section) => "#" + section.id),
  };
}

frames.forEach((frame, at) => {
  frame.contentWindow.addEventListener("error", (event) => errors[at].push(event.message));
});
addEventListener("load", () => {
  const out = document.createElement("pre");
  out.id = "seen";
  out.textContent = JSON.stringify(frames.map(look));
  document.body.append(out);
});
