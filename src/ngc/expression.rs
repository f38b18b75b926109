//! Values: numbers, parameters, expressions and functions (NISTIR 6556 sections 3.3.2.2 to
//! 3.3.2.4).

use super::cursor::Cursor;
use super::parameters::Parameters;
use super::problem::{Fault, Read, Rule, fault};

/// Reads values of a line with the parameters as they were before the line.
pub(super) struct Values<'a> {
    pub(super) parameters: &'a Parameters,
    /// Millimetres to the unit in force, for the parameters that hold lengths.
    pub(super) scale: f64,
}

/// How tight an operator binds: power first, then products, then the rest.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
enum Rank {
    Rest,
    Product,
    Power,
}

#[derive(Clone, Copy)]
enum Operator {
    Add,
    Subtract,
    Multiply,
    Divide,
    Modulo,
    Power,
    And,
    Or,
    Xor,
}

impl Operator {
    fn rank(self) -> Rank {
        match self {
            Operator::Power => Rank::Power,
            Operator::Multiply | Operator::Divide | Operator::Modulo => Rank::Product,
            _ => Rank::Rest,
        }
    }
}

/// Functions of one argument; ATAN, which has two, is apart.
const FUNCTIONS: [(&[u8], Function); 12] = [
    (b"ABS", Function::Abs),
    (b"ACOS", Function::Acos),
    (b"ASIN", Function::Asin),
    (b"COS", Function::Cos),
    (b"EXP", Function::Exp),
    (b"FIX", Function::Fix),
    (b"FUP", Function::Fup),
    (b"LN", Function::Ln),
    (b"ROUND", Function::Round),
    (b"SIN", Function::Sin),
    (b"SQRT", Function::Sqrt),
    (b"TAN", Function::Tan),
];

#[derive(Clone, Copy)]
enum Function {
    Abs,
    Acos,
    Asin,
    Cos,
    Exp,
    Fix,
    Fup,
    Ln,
    Round,
    Sin,
    Sqrt,
    Tan,
}

impl Values<'_> {
    /// Reads a value where one is due.
    #[inline]
    pub(super) fn value(&self, cursor: &mut Cursor<'_>) -> Read<f64> {
        match cursor.peek() {
            Some(b'[') => self.bracket(cursor),
            Some(b'#') => self.parameter(cursor),
            Some(b'A'..=b'Z') => self.function(cursor),
            _ => cursor.number(),
        }
    }

    /// Reads `#` and the value that names a parameter, and gives the parameter's number.
    pub(super) fn index(&self, cursor: &mut Cursor<'_>) -> Read<usize> {
        let at = cursor.at;
        cursor.at += 1;
        let raw = self.value(cursor)?;
        match whole(raw) {
            Some(n) if (1..=5399).contains(&n) => Ok(n as usize),
            _ => Err(fault(
                at,
                Rule::Parameter,
                format!("there is no parameter {raw}"),
                "parameters have whole numbers from 1 to 5399",
            )),
        }
    }

    fn parameter(&self, cursor: &mut Cursor<'_>) -> Read<f64> {
        let at = cursor.at;
        let index = self.index(cursor)?;
        if !self.parameters.is_set(index) {
            cursor.warnings.push(Fault {
                at,
                rule: Rule::ParameterUnset,
                message: format!("#{index} was not set before and is taken as 0"),
                help: "set the parameter in this text, on a line before",
            });
        }
        let value = self.parameters.get(index);
        Ok(if Parameters::is_length(index) { value / self.scale } else { value })
    }

    fn bracket(&self, cursor: &mut Cursor<'_>) -> Read<f64> {
        let at = cursor.at;
        cursor.at += 1;
        let value = self.chain(cursor, Rank::Rest)?;
        if cursor.eat(b']') {
            return finite(at, value);
        }
        let message = match cursor.peek() {
            None => "the bracket is not closed on its line".to_string(),
            Some(_) => {
                format!("{} is no operator and closes no bracket", cursor.shown(cursor.at))
            }
        };
        let help = "operators are + - * / ** MOD AND OR XOR; close every [ with a ]";
        Err(fault(cursor.at.min(cursor.line.len()), Rule::Expression, message, help))
    }

    /// Values joined by operators of at least this rank, from left to right.
    fn chain(&self, cursor: &mut Cursor<'_>, rank: Rank) -> Read<f64> {
        let mut left = match rank {
            Rank::Rest => self.chain(cursor, Rank::Product)?,
            Rank::Product => self.chain(cursor, Rank::Power)?,
            Rank::Power => self.value(cursor)?,
        };
        loop {
            let at = cursor.at;
            let Some(operator) = operator(cursor) else { return Ok(left) };
            if operator.rank() != rank {
                cursor.at = at;
                return Ok(left);
            }
            let right = match rank {
                Rank::Rest => self.chain(cursor, Rank::Product)?,
                Rank::Product => self.chain(cursor, Rank::Power)?,
                Rank::Power => self.value(cursor)?,
            };
            left = apply(at, operator, left, right)?;
        }
    }

    fn function(&self, cursor: &mut Cursor<'_>) -> Read<f64> {
        let at = cursor.at;
        if cursor.eat_word(b"ATAN") {
            return self.arc_tangent(cursor, at);
        }
        let found = FUNCTIONS.iter().find(|(name, _)| cursor.eat_word(name));
        let Some(&(name, function)) = found else {
            return Err(unknown_function(cursor, at));
        };
        let argument = self.argument(cursor, name)?;
        call(at, name, function, argument)
    }

    fn argument(&self, cursor: &mut Cursor<'_>, name: &[u8]) -> Read<f64> {
        if cursor.peek() == Some(b'[') {
            return self.bracket(cursor);
        }
        let name = String::from_utf8_lossy(name);
        let message = format!("{name} has no argument in brackets");
        Err(fault(cursor.at, Rule::Function, message, "write the argument as in SIN[30]"))
    }

    fn arc_tangent(&self, cursor: &mut Cursor<'_>, at: usize) -> Read<f64> {
        let y = self.argument(cursor, b"ATAN")?;
        if !cursor.eat(b'/') {
            let message = "ATAN has two arguments";
            return Err(fault(cursor.at, Rule::Function, message, "write ATAN[..]/[..]"));
        }
        let x = self.argument(cursor, b"ATAN")?;
        if x == 0.0 && y == 0.0 {
            return Err(no_value(at, "ATAN[0]/[0] has no value"));
        }
        Ok(y.atan2(x).to_degrees())
    }
}

#[cold]
fn unknown_function(cursor: &Cursor<'_>, at: usize) -> Box<Fault> {
    let name: String = cursor.line[at..]
        .iter()
        .take_while(|b| b.is_ascii_alphabetic())
        .map(|&b| char::from(b.to_ascii_uppercase()))
        .collect();
    let after = at.checked_sub(1).and_then(|i| cursor.line.get(i));
    if name.len() == 1 && after.is_some_and(u8::is_ascii_alphabetic) {
        let message = format!("a number is missing before `{name}`");
        return fault(at, Rule::Number, message, "every letter has a number behind it");
    }
    fault(
        at,
        Rule::Function,
        format!("`{name}` is no number and no function"),
        "functions are ABS ACOS ASIN ATAN COS EXP FIX FUP LN ROUND SIN SQRT TAN",
    )
}

fn operator(cursor: &mut Cursor<'_>) -> Option<Operator> {
    let found = match cursor.peek()? {
        b'+' => Operator::Add,
        b'-' => Operator::Subtract,
        b'/' => Operator::Divide,
        b'*' => {
            cursor.at += 1;
            let power = cursor.eat(b'*');
            return Some(if power { Operator::Power } else { Operator::Multiply });
        }
        b'A'..=b'Z' => return named_operator(cursor),
        _ => return None,
    };
    cursor.at += 1;
    Some(found)
}

fn named_operator(cursor: &mut Cursor<'_>) -> Option<Operator> {
    let names: [(&[u8], Operator); 4] = [
        (b"MOD", Operator::Modulo),
        (b"AND", Operator::And),
        (b"OR", Operator::Or),
        (b"XOR", Operator::Xor),
    ];
    names.iter().find(|(name, _)| cursor.eat_word(name)).map(|&(_, o)| o)
}

fn apply(at: usize, operator: Operator, a: f64, b: f64) -> Read<f64> {
    let logical = |truth: bool| f64::from(u8::from(truth));
    let value = match operator {
        Operator::Add => a + b,
        Operator::Subtract => a - b,
        Operator::Multiply => a * b,
        Operator::Divide if b == 0.0 => {
            return Err(no_value(at, format!("{a} is divided by zero")));
        }
        Operator::Divide => a / b,
        Operator::Modulo if b == 0.0 => {
            return Err(no_value(at, format!("{a} MOD 0 has no value")));
        }
        // The remainder is never negative (from memory of the published interpreter).
        Operator::Modulo => a.rem_euclid(b),
        Operator::Power if a < 0.0 && b.fract() != 0.0 => {
            let message = format!("{a} ** {b}: a negative number to a broken power has no value");
            return Err(no_value(at, message));
        }
        Operator::Power => a.powf(b),
        Operator::And => logical(a != 0.0 && b != 0.0),
        Operator::Or => logical(a != 0.0 || b != 0.0),
        Operator::Xor => logical((a != 0.0) != (b != 0.0)),
    };
    finite(at, value)
}

fn call(at: usize, name: &[u8], function: Function, x: f64) -> Read<f64> {
    let outside = match function {
        Function::Acos | Function::Asin => x.abs() > 1.0,
        Function::Ln => x <= 0.0,
        Function::Sqrt => x < 0.0,
        _ => false,
    };
    if outside {
        let name = String::from_utf8_lossy(name);
        return Err(no_value(at, format!("{name}[{x}] has no value")));
    }
    let value = match function {
        Function::Abs => x.abs(),
        Function::Acos => x.acos().to_degrees(),
        Function::Asin => x.asin().to_degrees(),
        Function::Cos => x.to_radians().cos(),
        Function::Exp => x.exp(),
        Function::Fix => x.floor(),
        Function::Fup => x.ceil(),
        Function::Ln => x.ln(),
        Function::Round => x.round(),
        Function::Sin => x.to_radians().sin(),
        Function::Sqrt => x.sqrt(),
        Function::Tan => x.to_radians().tan(),
    };
    finite(at, value)
}

#[cold]
fn no_value(at: usize, message: impl Into<String>) -> Box<Fault> {
    fault(at, Rule::Domain, message, "look at the values that go in here")
}

fn finite(at: usize, value: f64) -> Read<f64> {
    if value.is_finite() { Ok(value) } else { Err(no_value(at, "the value is beyond all numbers")) }
}

/// The whole number that `value` means, if it is within 0.0001 of one (section 3.3.2.1).
#[inline]
pub(super) fn whole(value: f64) -> Option<i64> {
    let near = value.round();
    // The slack of 1e-12 keeps the bound itself inside; 1e9 bounds what a cast must hold.
    ((value - near).abs() <= 0.0001 + 1e-12 && near.abs() <= 1e9).then_some(near as i64)
}
