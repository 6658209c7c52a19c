// The colour picker and the colour's code say the same thing.
document.addEventListener("input", (event) => {
  const { form, name, value } = event.target;
  if (name === "picked") form.elements.colour.value = value;
  if (name === "colour" && /^#[0-9a-f]{6}$/i.test(value)) form.elements.picked.value = value.toLowerCase();
});

// The part of a photo that is shown: a frame to be dragged says the same as the four figures beside it.
const LEAST_LEFT = 5;

function partOf(svg) {
  const form = svg.closest("form");
  const field = (side) => form.elements[side];
  const out = (side) => Math.min(95, Math.max(0, Number(field(side).value.replace(",", ".")) || 0));
  const opposite = { left: "right", right: "left", top: "bottom", bottom: "top" };

  function draw() {
    const [left, top, right, bottom] = [out("left"), out("top"), 100 - out("right"), 100 - out("bottom")];
    const frame = `M${left} ${top}H${right}V${bottom}H${left}Z`;
    svg.querySelector(".out").setAttribute("d", `M0 0H100V100H0Z${frame}`);
    svg.querySelector(".frame").setAttribute("d", frame);
    const at = { left, top, right, bottom };
    for (const grip of svg.querySelectorAll(".grip")) {
      const [side, other] = grip.dataset.sides.split(" ");
      const across = side === "left" || side === "right";
      if (other) grip.setAttribute("d", `M${at[side]} ${at[other]}h.001`);
      else grip.setAttribute("d", across ? `M${at[side]} ${top}V${bottom}` : `M${left} ${at[side]}H${right}`);
    }
  }

  function set(side, percent) {
    const most = 100 - LEAST_LEFT - out(opposite[side]);
    field(side).value = Math.min(most, Math.max(0, percent)).toFixed(1).replace(/\.0$/, "");
  }

  svg.addEventListener("pointerdown", (down) => {
    const sides = down.target.dataset.sides?.split(" ");
    if (!sides) return;
    down.preventDefault();
    svg.setPointerCapture(down.pointerId);
    const move = ({ clientX, clientY }) => {
      const seen = svg.getBoundingClientRect();
      const [x, y] = [(100 * (clientX - seen.left)) / seen.width, (100 * (clientY - seen.top)) / seen.height];
      const to = { left: x, right: 100 - x, top: y, bottom: 100 - y };
      for (const side of sides) set(side, to[side]);
      draw();
    };
    svg.addEventListener("pointermove", move);
    svg.addEventListener("lostpointercapture", () => svg.removeEventListener("pointermove", move), { once: true });
  });
  form.addEventListener("input", draw);
  form.addEventListener("keydown", (event) => {
    const step = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (!step || !(event.target.name in opposite)) return;
    event.preventDefault();
    set(event.target.name, out(event.target.name) + step);
    draw();
  });
  svg.removeAttribute("hidden");
  draw();
}

// A pile is sent photo by photo, so that each is safe as soon as it is there and one bad one holds up no other.
function sendsOneByOne(form) {
  const [sending, input, button] = [form.querySelector(".sending"), form.querySelector("[type=file]"), form.querySelector("button")];
  const [words, bar, wrong] = [sending.querySelector("p"), sending.querySelector("progress"), sending.querySelector(".wrong")];
  const refuse = (sentence) => {
    const line = document.createElement("li");
    line.textContent = sentence;
    wrong.append(line);
  };

  async function send(file) {
    const data = new FormData();
    data.set("csrfmiddlewaretoken", form.elements.csrfmiddlewaretoken.value);
    data.set("alone", "yes");
    data.set("photos", file);
    try {
      const answer = await (await fetch(form.action, { method: "POST", body: data })).json();
      answer.wrong.forEach(refuse);
      return answer.kept;
    } catch {
      refuse(`${file.name}: it could not be sent. Try it again in a moment.`);
      return 0;
    }
  }

  form.addEventListener("submit", async (event) => {
    const files = [...input.files];
    if (!files.length) return;
    event.preventDefault();
    wrong.replaceChildren();
    sending.hidden = false;
    if (files.length > Number(form.dataset.most)) {
      words.textContent = `Choose at most ${form.dataset.most} photos at a time: that was ${files.length}.`;
      return;
    }
    button.disabled = true;
    bar.max = files.length;
    let kept = 0;
    for (const [at, file] of files.entries()) {
      words.textContent = `Sending photo ${at + 1} of ${files.length}…`;
      bar.value = at;
      kept += await send(file);
    }
    bar.value = files.length;
    button.disabled = false;
    if (!wrong.children.length) {
      location.assign(form.dataset.pile);
      return;
    }
    words.textContent = `${kept} of ${files.length} kept. These were not:`;
    input.value = "";
    sending.querySelector(".onward").hidden = !kept;
  });
}

document.addEventListener("DOMContentLoaded", () => {
  document.querySelectorAll("[data-part]").forEach(partOf);
  document.querySelectorAll("form[data-pile]").forEach(sendsOneByOne);
});
