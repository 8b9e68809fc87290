// The body chart fills the form's own list of areas and sides, and follows it. Without a script the list alone works.

// What a tap makes of what was chosen before: the second of two sides means both, and one of both means only that one.
// A shape that stands for the whole area says nothing of a side.
export function chosenAfter(tapped, before) {
  if (!tapped.paired && !tapped.thirds) return { area: tapped.area, side: before.area === tapped.area ? before.side : "" }
  const isOtherOfPair = tapped.paired && before.area === tapped.area && ["left", "right"].includes(before.side) && before.side !== tapped.side
  return { area: tapped.area, side: isOtherOfPair ? "both" : tapped.side }
}

export function isChosen(region, chosen) {
  if (region.area !== chosen.area) return false
  if (!region.paired && !region.thirds) return true
  return region.side === chosen.side || chosen.side === "both"
}

// The nearest region in the direction of an arrow; sideways steps count double, so that a column is kept.
export function nearest(from, others, [dx, dy]) {
  const ahead = others
    .map((other) => ({ other, along: (other.x - from.x) * dx + (other.y - from.y) * dy, across: Math.abs((other.x - from.x) * dy) + Math.abs((other.y - from.y) * dx) }))
    .filter(({ along }) => along > 0.5)
    .sort((a, b) => a.along + 2 * a.across - (b.along + 2 * b.across))
  return ahead[0]?.other ?? null
}

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }

function regionOf(shape) {
  return { area: shape.dataset.area, side: shape.dataset.side, paired: "paired" in shape.dataset, thirds: "thirds" in shape.dataset }
}

function middleOf(shape) {
  const box = shape.getBBox()
  return { shape, x: box.x + box.width / 2, y: box.y + box.height / 2 }
}

class BodyChart extends (globalThis.HTMLElement ?? Object) {
  connectedCallback() {
    this.form = this.closest("form")
    this.shapes = [...this.querySelectorAll("[data-area]")]
    this.addEventListener("click", (event) => this.#tapped(event.target))
    this.addEventListener("keydown", (event) => this.#pressed(event))
    this.form.addEventListener("change", () => this.#show())
    this.#show()
  }

  #tapped(shape) {
    if (!shape.matches?.("[data-area]")) return
    const { area, side } = chosenAfter(regionOf(shape), this.#chosen())
    this.form.elements.namedItem("area").value = area
    this.#sides().forEach((radio) => { radio.checked = radio.value === side })
    this.#focusable(shape)
    this.#show()
  }

  #pressed(event) {
    const shape = event.target
    if (!shape.matches?.("[data-area]")) return
    if (event.key === "Enter" || event.key === " ") this.#tapped(shape)
    else if (event.key in ARROWS) this.#move(shape, ARROWS[event.key])
    else return
    event.preventDefault()
  }

  #move(shape, direction) {
    const others = this.shapes.filter((other) => other !== shape && other.ownerSVGElement === shape.ownerSVGElement)
    const next = nearest(middleOf(shape), others.map(middleOf), direction)?.shape
    if (!next) return
    this.#focusable(next)
    next.focus()
  }

  // One stop for Tab in each picture.
  #focusable(shape) {
    for (const other of shape.ownerSVGElement.querySelectorAll("[data-area]")) other.setAttribute("tabindex", other === shape ? "0" : "-1")
  }

  #sides() {
    return [...this.form.querySelectorAll('input[name="side"]')]
  }

  #chosen() {
    return { area: this.form.elements.namedItem("area").value, side: this.#sides().find((radio) => radio.checked)?.value ?? "" }
  }

  #show() {
    const area = this.form.elements.namedItem("area").value
    const isPaired = this.shapes.some((shape) => shape.dataset.area === area && "paired" in shape.dataset)
    for (const radio of this.#sides().filter((each) => each.value === "middle")) {
      if (isPaired) radio.checked = false
      radio.disabled = isPaired
    }
    const chosen = this.#chosen()
    for (const shape of this.shapes) shape.setAttribute("aria-pressed", String(isChosen(regionOf(shape), chosen)))
    this.#say(chosen)
  }

  #say(chosen) {
    const line = this.querySelector(".body-chart__chosen")
    const list = this.form.elements.namedItem("area")
    const words = chosen.area ? [list.selectedOptions[0].textContent, chosen.side && line.dataset[chosen.side]] : [line.dataset.none]
    line.textContent = words.filter(Boolean).join(", ")
  }
}

globalThis.customElements?.define("body-chart", BodyChart)
