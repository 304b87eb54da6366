"""The rules of the trade on plain values: limit sheet, examination, disposition, proving, stages, release gate."""
