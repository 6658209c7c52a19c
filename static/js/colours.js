// A colour picker beside a colour's code, and a point tapped on a photo. Without script the code is typed and the photo's
// colours are links.
document.addEventListener("input", ({ target }) => {
  const code = target.dataset.colourFor && document.getElementById(target.dataset.colourFor);
  if (code) code.value = target.value;
});
document.addEventListener("change", ({ target }) => {
  const code = target.dataset.colourFor && document.getElementById(target.dataset.colourFor);
  if (code) code.dispatchEvent(new Event("change", { bubbles: true }));
});
document.addEventListener("click", ({ target, clientX, clientY }) => {
  if (!target.dataset.colourAt) return;
  const seen = target.getBoundingClientRect();
  const [across, down] = [(clientX - seen.left) / seen.width, (clientY - seen.top) / seen.height];
  location.assign(`${target.dataset.colourAt}?across=${across.toFixed(4)}&down=${down.toFixed(4)}`);
});
