// Next value of a number input that is stepped by a button, kept in its range and free of binary dust.
export function stepped(value, step, { min = -Infinity, max = Infinity } = {}) {
  const start = value === "" || Number.isNaN(Number(value)) ? 0 : Number(value)
  const places = Math.max(decimals(start), decimals(step))
  const moved = Math.min(max, Math.max(min, start + step))
  return moved.toFixed(places).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "")
}

function decimals(number) {
  return (String(number).split(".")[1] ?? "").length
}
