//! Parameters, expressions and functions: sections 3.3.2.2 to 3.3.3.

use super::common::{after_head, breaks, ends, last_end, warnings, x_of};
use approx::assert_abs_diff_eq;
use ovolo::ngc::Rule;

#[test]
fn power_binds_first_then_products_then_the_rest_from_left_to_right() {
    // 3.3.2.3
    for (text, value) in [
        ("[1 + 2 * 3 - 4 / 5]", 6.2),
        ("[2 + 3 * 2 ** 2]", 14.0),
        ("[2 ** 3 ** 2]", 64.0),
        ("[10 - 4 - 3]", 3.0),
        ("[16 / 4 / 2]", 2.0),
        ("[7 MOD 4 * 2]", 6.0),
        ("[2 * [3 + 4]]", 14.0),
        ("[1 OR 0 + 5]", 6.0),
        ("[5 - 5 AND 1]", 0.0),
        ("[[1 + 1] ** [1 + 2]]", 8.0),
        ("[-2 ** 2]", 4.0),
        ("[5 - -3]", 8.0),
        ("[2 * 2.0]", 4.0),
    ] {
        assert_abs_diff_eq!(x_of(text), value, epsilon = 1e-12);
    }
}

#[test]
fn logic_takes_what_is_not_zero_as_true() {
    // 3.3.2.3
    for (text, value) in [
        ("[2 AND 3]", 1.0),
        ("[2 AND 0]", 0.0),
        ("[0 OR -1]", 1.0),
        ("[0 OR 0]", 0.0),
        ("[5 XOR 0]", 1.0),
        ("[5 XOR 7]", 0.0),
    ] {
        assert_eq!(x_of(text), value, "{text}");
    }
}

#[test]
fn functions_work_in_degrees() {
    // 3.3.2.4
    for (text, value) in [
        ("ABS[-1.5]", 1.5),
        ("ACOS[0.5]", 60.0),
        ("ASIN[0.5]", 30.0),
        ("ATAN[1]/[1]", 45.0),
        ("ATAN[1]/[-1]", 135.0),
        ("COS[60]", 0.5),
        ("EXP[1]", std::f64::consts::E),
        ("LN[EXP[3]]", 3.0),
        ("ROUND[2.5]", 3.0),
        ("ROUND[-0.4]", 0.0),
        ("SIN[30]", 0.5),
        ("SQRT[16]", 4.0),
        ("TAN[45]", 1.0),
        ("s i n [30]", 0.5),
        ("[SQRT[9] + SIN[90]]", 4.0),
    ] {
        assert_abs_diff_eq!(x_of(text), value, epsilon = 1e-12);
    }
}

#[test]
fn fix_goes_down_and_fup_goes_up() {
    // 3.3.2.4, the report's own examples
    for (text, value) in
        [("FIX[2.8]", 2.0), ("FIX[-2.8]", -3.0), ("FUP[2.8]", 3.0), ("FUP[-2.8]", -2.0)]
    {
        assert_eq!(x_of(text), value, "{text}");
    }
}

#[test]
fn a_remainder_is_never_negative() {
    // From memory of the published interpreter.
    assert_eq!(x_of("[-7 MOD 4]"), 1.0);
    assert_eq!(x_of("[7 MOD -4]"), 3.0);
    assert_abs_diff_eq!(x_of("[7.5 MOD 2]"), 1.5, epsilon = 1e-12);
}

#[test]
fn settings_act_after_all_values_of_the_line_are_read() {
    // 3.3.3
    let events = after_head("#1=5\n#1=9 G0 X#1\nG0 Y#1");
    let list: Vec<_> = ends(&events).iter().map(|(p, _)| (p[0], p[1])).collect();
    assert_eq!(list, [(5.0, 0.0), (5.0, 9.0)]);
    // Of several settings of one parameter the last holds.
    assert_eq!(last_end(&after_head("#1=5 #1=6\nG0 X#1"))[0], 6.0);
    // Both read the value before.
    assert_eq!(last_end(&after_head("#1=5\n#1=[#1+1] #2=#1\nG0 X#1 Y#2")), [6.0, 5.0, 50.0]);
}

#[test]
fn parameters_may_name_parameters() {
    // 3.3.2.2
    assert_eq!(last_end(&after_head("#7=2\n#2=31\nG0 X##7"))[0], 31.0);
    assert_eq!(last_end(&after_head("#3=8\nG0 X#[1+2]"))[0], 8.0);
}

#[test]
fn any_word_may_take_a_value() {
    let events = after_head("#1=1\nG#1 X[2*3] F[#1*600]");
    assert_eq!(ends(&events), [([6.0, 0.0, 50.0], Some(600.0))]);
}

#[test]
fn parameters_have_whole_numbers_from_1_to_5399() {
    // 3.3.2.2
    after_head("#1=1 #5399=2 #[2.00001]=3");
    for bad in ["#0=1", "#5400=1", "#-1=1", "#1.5=1", "G0 X#5400"] {
        breaks(bad, Rule::Parameter);
    }
    breaks("#5220=2", Rule::ParameterOwned);
    breaks("#1 5", Rule::Setting);
    breaks("#1", Rule::Setting);
}

#[test]
fn a_parameter_read_before_it_was_set_gets_a_warning() {
    assert_eq!(warnings("G0 X#5"), [Rule::ParameterUnset]);
    assert_eq!(warnings("#5=3\nG0 X#5"), []);
    assert_eq!(warnings("G0 X#5220"), []);
}

#[test]
fn a_refused_line_sets_no_parameter() {
    let text = format!("{}#1=5\n#1=6 G0 X1 X2\nG0 Y#1\nM2\n", super::common::HEAD);
    let (events, _) = ovolo::ngc::interpret_all(&text, &ovolo::ngc::Options::default());
    assert_eq!(last_end(&events)[1], 5.0);
}

#[test]
fn values_that_do_not_exist_are_refused() {
    // 3.3.2.3-4
    for bad in [
        "[1/0]",
        "[1 MOD 0]",
        "[-1 ** 0.5]",
        "[0 ** -1]",
        "SQRT[-1]",
        "LN[0]",
        "ACOS[1.1]",
        "ASIN[-2]",
        "ATAN[0]/[0]",
        "EXP[1000]",
        "[10 ** 400]",
    ] {
        breaks(&format!("G0 X{bad}"), Rule::Domain);
    }
}

#[test]
fn brackets_close_and_operators_stand_between_values() {
    for bad in ["[1+2", "[1 [2]]", "[1 & 2]", "[1 NOT 2]", "[(1)]"] {
        let problem = super::common::refused(&format!("G0 X{bad}"));
        assert!(matches!(problem.rule, Rule::Expression | Rule::Number), "{bad}: {problem}");
    }
    for bad in ["[]", "[+]", "[1+]", "[*2]"] {
        breaks(&format!("G0 X{bad}"), Rule::Number);
    }
    for bad in ["SIN 30", "SIN30", "ATAN[1]", "FOO[1]", "-[1]", "-#1"] {
        let rule = super::common::refused(&format!("G0 X{bad}")).rule;
        assert!(matches!(rule, Rule::Function | Rule::Number), "{bad}: {rule}");
    }
}

#[test]
fn deep_nesting_ends_at_the_line() {
    let deep = format!("G0 X{}1{}", "[".repeat(125), "]".repeat(125));
    assert_eq!(last_end(&after_head(&deep))[0], 1.0);
    breaks(&format!("G0 X{}", "[".repeat(250)), Rule::Number);
}
