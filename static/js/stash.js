// The colour picker and the colour's code say the same thing.
document.addEventListener("input", (event) => {
  const { form, name, value } = event.target;
  if (name === "picked") form.elements.colour.value = value;
  if (name === "colour" && /^#[0-9a-f]{6}$/i.test(value)) form.elements.picked.value = value.toLowerCase();
});
