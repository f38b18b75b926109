//! Files, lines, words and numbers: sections 3.1 to 3.3.

use super::common::{HEAD, after_head, breaks, clean, ends, last_end, refused, warnings, x_of};
use ovolo::ngc::{Event, Options, Problem, Rule, What, interpret_all};

fn problems(text: &str) -> Vec<(usize, Rule, bool)> {
    let (_, list) = interpret_all(text, &Options::default());
    list.iter().map(|p: &Problem| (p.line, p.rule, p.grave)).collect()
}

fn comments(events: &[Event]) -> Vec<(&str, bool)> {
    events
        .iter()
        .filter_map(|e| match &e.what {
            What::Comment { text, message } => Some((text.as_str(), *message)),
            _ => None,
        })
        .collect()
}

#[test]
fn a_percent_sign_alone_asks_for_a_closing_one() {
    // 3.1
    assert_eq!(problems("%\nG21\nM2\n%\n"), []);
    assert_eq!(problems("\n  \n % \nG21\n%\n"), []);
    assert_eq!(problems("%\nG21\nM2\n"), [(3, Rule::PercentOpen, true)]);
    assert_eq!(problems("%\n"), [(1, Rule::PercentOpen, true)]);
    assert_eq!(problems("%100\nM2\n%\n"), [(1, Rule::PercentAlone, true)]);
}

#[test]
fn a_closing_percent_sign_ends_the_text_and_leaves_the_machine_as_it_is() {
    // 3.1: what follows it is ignored; a reader says so.
    let (events, list) = interpret_all("%\nM3 S100\n%\nG0 X5\nO9\n", &Options::default());
    assert_eq!(events.last().unwrap().what, What::End { stated: false });
    assert!(events.last().unwrap().state.spindle.is_some());
    let list: Vec<_> = list.iter().map(|p| (p.line, p.rule, p.grave)).collect();
    assert_eq!(list, [(4, Rule::AfterEnd, false)]);
}

#[test]
fn without_percent_signs_m2_or_m30_is_required() {
    // 3.1
    assert_eq!(problems("G21\nM2\n"), []);
    assert_eq!(problems("G21\nM30"), []);
    assert_eq!(problems("G21\n"), [(1, Rule::NoEnd, true)]);
    assert_eq!(problems(""), [(1, Rule::NoEnd, true)]);
    assert_eq!(problems("G21\n%\nM2\n"), [(2, Rule::PercentAlone, true)]);
}

#[test]
fn lines_behind_m2_and_m30_are_not_run() {
    // 3.1
    for end in ["M2", "M30"] {
        let text = format!("G21\n{end}\n\nG0 X5\nG0 X6\n");
        let (events, list) = interpret_all(&text, &Options::default());
        assert!(ends(&events).is_empty());
        let list: Vec<_> = list.iter().map(|p| (p.line, p.rule, p.grave)).collect();
        assert_eq!(list, [(4, Rule::AfterEnd, false)]);
    }
}

#[test]
fn a_line_has_at_most_256_characters() {
    // 3.3
    let fits = format!("({})", "x".repeat(254));
    assert_eq!(comments(&after_head(&fits))[0].0.len(), 254);
    breaks(&format!("({})", "x".repeat(255)), Rule::LineTooLong);
    let wide = format!("({})", "é".repeat(254));
    assert_eq!(comments(&after_head(&wide))[0].0.chars().count(), 254);
    breaks(&format!("({})", "é".repeat(255)), Rule::LineTooLong);
}

#[test]
fn blanks_and_tabs_mean_nothing_and_inside_a_number_they_get_a_warning() {
    // 3.3
    assert_eq!(last_end(&after_head("G\t0 X  7 Y 8")), [7.0, 8.0, 50.0]);
    assert_eq!(after_head("g 0x 7y8"), after_head("G0 X7 Y8"));
    assert_eq!(x_of("1 0"), 10.0);
    assert_eq!(x_of("- 1\t. 2 5"), -1.25);
    assert_eq!(warnings("G0 X1 0"), [Rule::NumberSpaced]);
    assert_eq!(warnings("G 0 X 10 Y 5 "), []);
}

#[test]
fn case_does_not_matter_and_empty_lines_are_allowed() {
    // 3.3
    assert_eq!(ends(&after_head("\n\n  \t\ng1 x1 y2 f50")), [([1.0, 2.0, 50.0], Some(50.0))]);
}

#[test]
fn line_endings_may_be_lf_or_cr_lf() {
    let lf = format!("{HEAD}G0 X5\nM2\n");
    assert_eq!(clean(&lf), clean(&lf.replace('\n', "\r\n")));
    assert_eq!(problems(&lf.replace('\n', "\r"))[0], (1, Rule::Character, true));
}

#[test]
fn a_byte_order_mark_is_a_problem_and_the_line_behind_it_is_read() {
    assert_eq!(problems("\u{feff}%\nM2\n%\n"), [(1, Rule::ByteOrderMark, true)]);
    assert_eq!(problems("\u{feff}M2\n"), [(1, Rule::ByteOrderMark, true)]);
}

#[test]
fn line_numbers_are_one_to_five_digits_in_any_order() {
    // 3.3.1
    let text = "N99999 G0 X1\nN1 G0 X2\nN00001 G0 X3\nN 1 2 G0 X4\n/N7 G0 X5";
    assert_eq!(ends(&after_head(text)).len(), 5);
    for bad in ["N100000 G0 X1", "N-1 G0 X1", "N1.5 G0 X1", "N G0 X1", "G0 N5 X1", "N1 N2 G0 X1"] {
        breaks(bad, Rule::LineNumber);
    }
}

#[test]
fn comments_close_on_their_line_hold_no_second_parenthesis_and_the_last_counts() {
    // 3.3.4
    assert_eq!(comments(&after_head("(one) G0 X1 (two % ; /)")), [("two % ; /", false)]);
    breaks("(open", Rule::Comment);
    breaks("(a (b) c)", Rule::Comment);
    breaks("a)", Rule::RotaryAxis);
    breaks("G0 X1)", Rule::Comment);
}

#[test]
fn a_comment_that_begins_with_msg_is_a_message() {
    // 3.3.4
    assert_eq!(comments(&after_head("(MSG,put the clamp on)")), [("put the clamp on", true)]);
    assert_eq!(comments(&after_head("( m s g , hello, there)")), [(" hello, there", true)]);
    assert_eq!(comments(&after_head("(MSGX,no)")), [("MSGX,no", false)]);
    assert_eq!(comments(&after_head("(MS,no)")), [("MS,no", false)]);
}

#[test]
fn a_slash_skips_its_line_only_if_the_switch_is_on() {
    // 2.2.2
    let text = format!("{HEAD}/G0 X5\nG0 Y6\nM2\n");
    let off = interpret_all(&text, &Options::default()).0;
    let on = interpret_all(&text, &Options { block_delete: true, ..Options::default() }).0;
    assert_eq!(last_end(&off), [5.0, 6.0, 50.0]);
    assert_eq!(last_end(&on), [0.0, 6.0, 50.0]);
    breaks("G0 /X5", Rule::BlockDelete);
}

#[test]
fn numbers_are_signs_digits_and_one_point() {
    // 3.3.2.1
    for (text, value) in
        [("+1.", 1.0), (".5", 0.5), ("-0", 0.0), ("007", 7.0), ("-.25", -0.25), ("+0.1", 0.1)]
    {
        assert_eq!(x_of(text), value, "{text}");
    }
    for bad in [".", "-", "+", "--1", "+-1", "", "-.", "1.2.3", "1..2"] {
        breaks(&format!("G0 X{bad}"), Rule::Number);
    }
    breaks("G0 X1.5E-3", Rule::Exponent);
    breaks("G0 X1e3", Rule::Exponent);
}

#[test]
fn numbers_are_rounded_correctly_however_long() {
    // 3.3.2.1 keeps about 17 figures; this reader keeps what an f64 can.
    for text in [
        "0.1",
        "2440.1237",
        "123456789.12345678",
        "0.30000000000000004",
        "9007199.254740993",
        "0.000000000000000000000000000000123456789",
        "1.00000000000000011102230246251565",
        "00000000000000000000000012.5",
    ] {
        assert_eq!(x_of(text).to_bits(), text.parse::<f64>().unwrap().to_bits(), "{text}");
    }
    breaks("G0 X1000000001", Rule::NumberTooLarge);
    breaks(&format!("G0 X{}", "9".repeat(240)), Rule::NumberTooLarge);
}

#[test]
fn a_whole_number_may_be_a_decimal_within_a_ten_thousandth() {
    // 3.3.2.1: M codes, G codes times ten, T, H, L, indexes
    assert_eq!(ends(&after_head("G00.00001 X1")).len(), 1);
    after_head("M5.0001");
    after_head("T1.00005");
    breaks("M5.0002", Rule::UnknownM);
    breaks("G1.0001 X1 F5", Rule::UnknownG);
    breaks("T1.5", Rule::CutterNumber);
    breaks("G59.12", Rule::UnknownG);
}

#[test]
fn letters_that_start_no_word_are_refused() {
    // E.2, Table 3
    for letter in ["E1", "U1", "V1", "W1", "O100"] {
        breaks(letter, Rule::Letter);
    }
    breaks("; a remark", Rule::Semicolon);
    breaks("G0 X1 *71", Rule::Star);
    for letter in ["A1", "B1", "C1"] {
        breaks(&format!("G0 {letter}"), Rule::RotaryAxis);
    }
    for stray in ["G0 X1 &", "G0 X1 \"", "G0 X1 é", "G0 X1 !", "\u{0}"] {
        breaks(stray, Rule::Character);
    }
}

#[test]
fn every_letter_but_g_and_m_stands_once() {
    // 3.3.5
    breaks("G0 X1 X2", Rule::RepeatedWord);
    breaks("G0 X1 F5 F6", Rule::RepeatedWord);
    breaks("G0 x1 X1", Rule::RepeatedWord);
}

#[test]
fn the_order_of_words_is_free() {
    // 3.3.6
    let one = after_head("G1 X1 Y2 Z3 F50 S100 M3 (note)");
    assert_eq!(one, after_head("(note) M3 S100 Z3 F50 Y2 X1 G1"));
}

#[test]
fn at_most_four_m_words_stand_on_a_line() {
    // 3.3.5
    after_head("T1 M6 M3 S1 M8 M48");
    breaks("T1 M6 M3 S1 M8 M48 M0", Rule::TooManyM);
}

#[test]
fn columns_count_characters_from_one() {
    let p = refused("(é) G0 X1 X2");
    assert_eq!((p.line, p.column), (3, 11));
}

#[test]
fn a_refused_line_does_nothing_and_reading_goes_on() {
    let (events, list) = interpret_all(
        &format!("{HEAD}M3 S100 T1 G1 X5 F0\nG0 X7\nG99 G98\nM2\n"),
        &Options::default(),
    );
    assert_eq!(list.iter().map(|p| p.line).collect::<Vec<_>>(), [3, 5]);
    assert!(events.iter().all(|e| e.line != 3 && e.line != 5));
    let end = &events.last().unwrap().state;
    assert_eq!((end.rpm, end.selected, end.feed), (None, None, Some(100.0)));
    assert_eq!(last_end(&events), [7.0, 0.0, 50.0]);
}

#[test]
fn coordinates_that_a_refused_line_named_are_unknown_afterwards() {
    let text = format!("{HEAD}G1 X5 Z3 F0\nG0 Y1\nG0 X1 Z1\nG0 X2\nM2\n");
    let (events, _) = interpret_all(&text, &Options::default());
    let known: Vec<_> = super::common::motions(&events).iter().map(|m| m.known).collect();
    assert_eq!(known[1..], [[false, true, false], [false, true, false], [true; 3]]);
}

#[test]
fn only_so_many_problems_are_listed_and_the_rest_is_counted() {
    let text = "G0 X1 X2\nG0 X1 0\n".repeat(10);
    let options = Options { max_problems: 3, ..Options::default() };
    let (_, list) = interpret_all(&text, &options);
    let graves = list.iter().filter(|p| p.grave && p.rule == Rule::RepeatedWord).count();
    let mild = list.iter().filter(|p| !p.grave && p.rule == Rule::NumberSpaced).count();
    assert_eq!((graves, mild, list.len()), (3, 3, 8));
    // Ten bad lines and the missing end.
    assert_eq!(list[6].message, "8 more problems are not listed");
    assert_eq!(list[7].message, "7 more warnings are not listed");
}

#[test]
fn every_rule_has_its_own_id_and_says_where_it_is_published() {
    let mut ids: Vec<_> = Rule::ALL.iter().map(|r| r.id()).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), Rule::ALL.len());
    for rule in Rule::ALL {
        assert!(
            rule.id().bytes().all(|b| b == b'-' || b.is_ascii_lowercase() || b.is_ascii_digit())
        );
        assert!(rule.source() == "common practice" || rule.source().starts_with(['2', '3']));
        assert!(rule.text().ends_with('.'));
    }
}
