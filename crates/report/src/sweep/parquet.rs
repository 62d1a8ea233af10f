//! Rows of a sweep as a Parquet file (Apache Parquet format, version 1 pages, no compression), for tools that read columns.
//!
//! The columns are those of the table with commas: numbers in SI units, their unit in the column's name.

use parquet::basic::{ConvertedType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::Result;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::Type;
use serde_json::Value;
use std::io::Write;
use std::sync::Arc;

/// Rows that are held until they are written together.
const GROUP: usize = 1 << 16;

/// Values of one column, missing ones included.
enum Cells {
    Whole(Vec<Option<i64>>),
    Number(Vec<Option<f64>>),
    Verdict(Vec<Option<bool>>),
    Text(Vec<Option<String>>),
}

/// Where a column's value stands in a row.
enum Place {
    /// A member of the row, or of one of its members.
    At(Vec<String>),
    /// A member of the requirement with this index.
    Requirement(usize, &'static str),
    /// The codes of the warnings, each once.
    Warnings,
}

struct Column {
    name: String,
    place: Place,
    cells: Cells,
}

/// A file of rows while it is written.
pub struct ParquetRows<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    columns: Vec<Column>,
    rows: usize,
}

impl<W: Write + Send> ParquetRows<W> {
    /// Begins a file whose columns are those of this row, a line of JSON; all rows have the same.
    ///
    /// # Errors
    /// What the file could not take.
    pub fn new(to: W, first: &str) -> Result<Self> {
        let row: Value = serde_json::from_str(first).unwrap_or_default();
        let columns = columns(&row);
        let fields = columns.iter().map(|column| column.field().map(Arc::new)).collect::<Result<Vec<_>>>()?;
        let schema = Type::group_type_builder("sweep").with_fields(fields).build()?;
        let writer =
            SerializedFileWriter::new(to, Arc::new(schema), Arc::new(WriterProperties::builder().build()))?;
        Ok(Self { writer, columns, rows: 0 })
    }

    /// Adds a row, a line of JSON.
    ///
    /// # Errors
    /// What the file could not take.
    pub fn push(&mut self, line: &str) -> Result<()> {
        let row: Value = serde_json::from_str(line).unwrap_or_default();
        self.columns.iter_mut().for_each(|column| column.push(&row));
        self.rows += 1;
        if self.rows == GROUP { self.write_group() } else { Ok(()) }
    }

    /// Writes what is left.
    ///
    /// # Errors
    /// What the file could not take.
    pub fn finish(mut self) -> Result<()> {
        if self.rows > 0 {
            self.write_group()?;
        }
        self.writer.close().map(|_| ())
    }

    fn write_group(&mut self) -> Result<()> {
        let mut group = self.writer.next_row_group()?;
        let mut columns = self.columns.iter_mut();
        while let (Some(writer), Some(column)) = (group.next_column()?, columns.next()) {
            column.cells.write(writer)?;
        }
        self.rows = 0;
        group.close().map(|_| ())
    }
}

/// The columns of a row, in the order of the table with commas.
fn columns(row: &Value) -> Vec<Column> {
    let mut columns = Vec::new();
    let mut add = |name: String, place: Place, cells: Cells| columns.push(Column { name, place, cells });
    let at = |path: &[&str]| Place::At(path.iter().map(|step| (*step).to_owned()).collect());
    let members = |key: &str| {
        let map = row.get(key).and_then(Value::as_object);
        map.into_iter().flatten().map(|(name, value)| (name.clone(), value.clone())).collect::<Vec<_>>()
    };
    let unit = |value: &Value| value.get("unit").and_then(Value::as_str).unwrap_or_default().to_owned();
    add("point".to_owned(), at(&["point"]), Cells::Whole(Vec::new()));
    for (name, value) in members("at") {
        if value.is_string() {
            add(name.clone(), at(&["at", &name]), Cells::Text(Vec::new()));
        } else {
            add(with_unit(&name, &unit(&value)), at(&["at", &name, "value"]), Cells::Number(Vec::new()));
        }
    }
    if row.get("draw").is_some() {
        add("draw".to_owned(), at(&["draw"]), Cells::Whole(Vec::new()));
    }
    for (name, _) in members("drawn") {
        add(name.clone(), at(&["drawn", &name]), Cells::Number(Vec::new()));
    }
    for (name, value) in members("readings") {
        add(with_unit(&name, &unit(&value)), at(&["readings", &name, "value"]), Cells::Number(Vec::new()));
    }
    for (index, each) in row.get("requirements").and_then(Value::as_array).into_iter().flatten().enumerate() {
        let text = each.get("text").and_then(Value::as_str).unwrap_or_default();
        add(format!("value of {text}"), Place::Requirement(index, "value"), Cells::Number(Vec::new()));
        add(format!("met: {text}"), Place::Requirement(index, "met"), Cells::Verdict(Vec::new()));
    }
    add("warnings".to_owned(), Place::Warnings, Cells::Text(Vec::new()));
    add("error".to_owned(), at(&["error"]), Cells::Text(Vec::new()));
    columns
}

fn with_unit(name: &str, unit: &str) -> String {
    if unit.is_empty() || unit == "1" { name.to_owned() } else { format!("{name} ({unit})") }
}

impl Column {
    fn field(&self) -> Result<Type> {
        let physical = match self.cells {
            Cells::Whole(_) => Physical::INT64,
            Cells::Number(_) => Physical::DOUBLE,
            Cells::Verdict(_) => Physical::BOOLEAN,
            Cells::Text(_) => Physical::BYTE_ARRAY,
        };
        let builder =
            Type::primitive_type_builder(&self.name, physical).with_repetition(Repetition::OPTIONAL);
        let text = matches!(self.cells, Cells::Text(_));
        if text { builder.with_converted_type(ConvertedType::UTF8) } else { builder }.build()
    }

    fn push(&mut self, row: &Value) {
        let value = match &self.place {
            Place::At(path) => path.iter().try_fold(row, |value, step| value.get(step)),
            Place::Requirement(index, key) => {
                row.get("requirements").and_then(|all| all.get(index)).and_then(|one| one.get(key))
            }
            Place::Warnings => row.get("warnings"),
        };
        match &mut self.cells {
            Cells::Whole(cells) => cells.push(value.and_then(Value::as_i64)),
            Cells::Number(cells) => cells.push(value.and_then(Value::as_f64)),
            Cells::Verdict(cells) => cells.push(value.and_then(Value::as_bool)),
            Cells::Text(cells) => cells.push(match value {
                Some(Value::Array(warnings)) => Some(codes(warnings)),
                Some(Value::String(text)) => Some(text.clone()),
                _ => None,
            }),
        }
    }
}

fn codes(warnings: &[Value]) -> String {
    let mut codes: Vec<&str> = Vec::new();
    for code in warnings.iter().filter_map(|warning| warning.get("code")?.as_str()) {
        if !codes.contains(&code) {
            codes.push(code);
        }
    }
    codes.join(" ")
}

impl Cells {
    /// Writes the values and forgets them.
    fn write(&mut self, mut writer: SerializedColumnWriter<'_>) -> Result<()> {
        fn split<T: Clone, U>(cells: &mut Vec<Option<T>>, into: impl Fn(T) -> U) -> (Vec<U>, Vec<i16>) {
            let there = cells.iter().map(|cell| i16::from(cell.is_some())).collect();
            (cells.drain(..).flatten().map(into).collect(), there)
        }
        match self {
            Self::Whole(cells) => {
                let (values, there) = split(cells, |value| value);
                writer.typed::<Int64Type>().write_batch(&values, Some(&there), None)?;
            }
            Self::Number(cells) => {
                let (values, there) = split(cells, |value| value);
                writer.typed::<DoubleType>().write_batch(&values, Some(&there), None)?;
            }
            Self::Verdict(cells) => {
                let (values, there) = split(cells, |value| value);
                writer.typed::<BoolType>().write_batch(&values, Some(&there), None)?;
            }
            Self::Text(cells) => {
                let (values, there) = split(cells, |text: String| ByteArray::from(text.into_bytes()));
                writer.typed::<ByteArrayType>().write_batch(&values, Some(&there), None)?;
            }
        }
        writer.close()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use parquet::file::reader::{FileReader, SerializedFileReader};

    /// What the format's own reader gives back, to the last bit; the same file was read with another program's reader by hand.
    #[test]
    fn rows_come_back() {
        let row = |point: usize, value: &str, met: &str, error: &str| {
            format!(
                "{{\"point\":{point},\"at\":{{\"filter\":\"coil, \u{3a9}\",\"esr\":{{\"value\":0.1,\"unit\":\"ohm\"}}}},\
                 \"readings\":{{\"noise\":{{\"value\":{value},\"unit\":\"V\"}}}},\
                 \"requirements\":[{{\"text\":\"noise < 1 V\",\"met\":{met},\"value\":{value},\"limit\":1}}],\
                 \"warnings\":[{{\"code\":\"a\"}},{{\"code\":\"b\"}},{{\"code\":\"a\"}}],\"error\":{error}}}\n"
            )
        };
        let lines = [row(0, "0.10349111302747183", "true", "null"), row(1, "null", "null", "\"broke\"")];
        let mut bytes = Vec::new();
        let mut rows = ParquetRows::new(&mut bytes, &lines[0]).unwrap();
        lines.iter().for_each(|line| rows.push(line).unwrap());
        rows.finish().unwrap();
        let place = std::env::temp_dir().join(format!("quietrail-rows-{}.parquet", std::process::id()));
        std::fs::write(&place, &bytes).unwrap();
        let reader = SerializedFileReader::new(std::fs::File::open(&place).unwrap()).unwrap();
        let read: Vec<String> =
            reader.get_row_iter(None).unwrap().map(|row| row.unwrap().to_string()).collect();
        std::fs::remove_file(&place).unwrap();
        let place = "{point: 0, filter: \"coil, \u{3a9}\", esr (ohm): 0.1, noise (V): 0.10349111302747183, \
                     value of noise < 1 V: 0.10349111302747183, met: noise < 1 V: true, warnings: \"a b\", error: null}";
        let other = "{point: 1, filter: \"coil, \u{3a9}\", esr (ohm): 0.1, noise (V): null, \
                     value of noise < 1 V: null, met: noise < 1 V: null, warnings: \"a b\", error: \"broke\"}";
        assert_eq!(read, [place, other]);
    }
}
