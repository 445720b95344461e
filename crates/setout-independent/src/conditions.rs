//! `||`, `&&`, comparisons, `if`, folds and calls.

use crate::agreement::LAST_DIGITS;
use crate::engine::Worth;
use crate::functions;
use crate::judged::Judged;
use crate::mathematics;
use crate::reader::{Part, Reader};
use crate::refusal::Refusal;

impl Reader<'_> {
    /// The loosest level: `||`.
    pub(crate) fn condition(&mut self) -> Result<Part, Refusal> {
        let mut left = self.all()?;
        while self.take("||") {
            let right = self.all()?;
            left = Part::Truth(self.truth(left)?.joined(self.truth(right)?, false));
        }
        Ok(left)
    }

    fn all(&mut self) -> Result<Part, Refusal> {
        let mut left = self.comparison()?;
        while self.take("&&") {
            let right = self.comparison()?;
            left = Part::Truth(self.truth(left)?.joined(self.truth(right)?, true));
        }
        Ok(left)
    }

    fn comparison(&mut self) -> Result<Part, Refusal> {
        let left = self.arithmetic()?;
        let Some(sign @ ("<" | "<=" | ">" | ">=" | "==" | "!=")) = self.peek() else {
            return Ok(left);
        };
        self.at += 1;
        let right = self.arithmetic()?;
        let (left, right) = (self.settle(left)?, self.settle(right)?);
        Ok(Part::Truth(Judged::compared(sign, &left, &right, self.zero)))
    }

    /// A part that has to be a condition.
    pub(crate) fn truth(&mut self, part: Part) -> Result<Judged, Refusal> {
        match part {
            Part::Truth(judged) => Ok(judged),
            Part::Expression(_) if !self.live => Ok(Judged::plain(false)),
            Part::Expression(_) => Err(Refusal::Unreadable),
        }
    }

    pub(crate) fn call(&mut self, name: &str) -> Result<Part, Refusal> {
        self.expect("(")?;
        // Only the comparisons that a check consists of are allowed their last digits.
        let zero = self.zero;
        let part = match name {
            "if" => self.choice(zero),
            "sum" | "min" | "max" | "mean" | "count" => {
                self.zero = 0.0;
                self.fold(name)
            }
            _ if functions::is_known(name) => {
                self.zero = 0.0;
                self.plain_call(name)
            }
            _ => Err(Refusal::NoFunction { name: name.to_owned() }),
        };
        self.zero = zero;
        part
    }

    /// `if`: the engine's would compute both arms.
    fn choice(&mut self, zero: f64) -> Result<Part, Refusal> {
        self.zero = 0.0;
        let condition = self.condition()?;
        let Judged { holds, sound, .. } = self.truth(condition)?;
        self.zero = zero;
        self.expect(",")?;
        let then = self.arm(holds && sound)?;
        self.expect(",")?;
        let otherwise = self.arm(!holds && sound)?;
        self.expect(")")?;
        Ok(match if holds { then } else { otherwise } {
            Part::Truth(judged) => Part::Truth(Judged { sound: sound && judged.sound, ..judged }),
            Part::Expression(_) if self.live && !sound => self.kept(Worth::NONE),
            Part::Expression(text) => Part::Expression(format!("({text})")),
        })
    }

    fn arm(&mut self, taken: bool) -> Result<Part, Refusal> {
        let live = self.live;
        self.live = live && taken;
        let part = self.condition();
        self.live = live;
        part
    }

    fn plain_call(&mut self, name: &str) -> Result<Part, Refusal> {
        let mut arguments = Vec::new();
        // A size on the end of its range and a linkage at its change point are so in either engine,
        // whatever their last digits.
        let most = if mathematics::is_known(name) { f64::INFINITY } else { LAST_DIGITS };
        let by = self.shake.limit(most);
        loop {
            let argument = self.condition()?;
            arguments.push(self.expression(argument));
            if !self.take(",") {
                break;
            }
        }
        self.expect(")")?;
        self.shake.by = by;
        Ok(Part::Expression(format!("{name}({})", arguments.join(", "))))
    }

    /// A function over columns: each argument once a row, or once if it names no column.
    fn fold(&mut self, name: &str) -> Result<Part, Refusal> {
        let (row, rows) = (self.row, self.rows);
        let mut cells = Vec::new();
        loop {
            self.cells(&mut cells)?;
            if !self.take(",") {
                break;
            }
        }
        self.expect(")")?;
        (self.row, self.rows) = (row, rows);
        if !self.live {
            return Ok(Part::Expression(String::new()));
        }
        let folded = match name {
            _ if !cells.iter().all(Worth::is_some) => Some(f64::NAN),
            "count" => {
                Some(cells.iter().filter(|cell| **cell != Worth::Truth(false)).count() as f64)
            }
            _ => {
                let numbers: Option<Vec<f64>> = cells.iter().map(Worth::number).collect();
                numbers.and_then(|numbers| mathematics::fold(name, &numbers))
            }
        };
        let folded = folded.ok_or(Refusal::Unreadable)?;
        Ok(Part::Expression(self.engine.keep(Worth::Number(folded))))
    }

    /// The values of one argument, row by row.
    fn cells(&mut self, cells: &mut Vec<Worth>) -> Result<(), Refusal> {
        let (start, live) = (self.at, self.live);
        (self.rows, self.row, self.live) = (None, None, false);
        self.condition()?;
        self.live = live;
        let (end, rows) = (self.at, self.rows);
        for index in 0..rows.unwrap_or(1) {
            if !live {
                break;
            }
            self.at = start;
            self.row = rows.map(|_| index);
            let part = self.condition()?;
            cells.push(self.settle(part)?);
        }
        self.at = end;
        Ok(())
    }
}
