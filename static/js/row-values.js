// What one row of the session editor holds, by the names of its fields without the row's number.
const NUMBERED = /^rows-(?:\d+|__prefix__)-/
const OWN = new Set(["lineage", "ORDER", "DELETE"])

export function fieldsOf(row) {
  return [...row.querySelectorAll("input[name], select[name], textarea[name]")].map((field) => [field.name.replace(NUMBERED, ""), field])
}

export function valuesOf(row) {
  return Object.fromEntries(fieldsOf(row).map(([name, field]) => [name, field.type === "checkbox" ? field.checked : field.value]))
}

export function fillRow(row, values) {
  for (const [name, field] of fieldsOf(row)) {
    if (!(name in values)) continue
    if (field.type === "checkbox") field.checked = Boolean(values[name])
    else field.value = values[name]
  }
}

// A copy is a new row: only the place it came from keeps the lineage.
export function asCopy(values) {
  return Object.fromEntries(Object.entries(values).filter(([name]) => !OWN.has(name)))
}

// What a new row has from the row above: where it stands and how much of it, not what or why.
export function asNext(values) {
  const { section, sets, amount, rir, rpe, rest_s: rest } = values
  return { section, sets, amount, rir, rpe, rest_s: rest }
}
