//! The program as people meet it: `ligule season` and `ligule rotate`.
use serde_json::Value;
use std::io::Write;
use std::process::{Command, Output, Stdio};

fn ligule(arguments: &str) -> Output {
    ligule_with(arguments, "")
}

fn ligule_with(arguments: &str, input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments.split_whitespace().map(|a| a.replace('~', " ")))
        .env_clear()
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // The program may end before it has read everything.
    let _ = child
        .stdin
        .take()
        .expect("piped")
        .write_all(input.as_bytes());
    child.wait_with_output().expect("it ends")
}

fn json(arguments: &str) -> Value {
    let out = ligule(&format!("{arguments} --format json"));
    let text = String::from_utf8(out.stdout).expect("text");
    let value: Value = serde_json::from_str(&text).unwrap_or_else(|e| {
        panic!(
            "{arguments}: {e}: {text} {}",
            String::from_utf8_lossy(&out.stderr)
        )
    });
    assert!(
        value["schema"]
            .as_str()
            .is_some_and(|s| s.starts_with("ligule/")),
        "{arguments}"
    );
    assert!(
        !value["value"].is_null() || !value["results"].is_null(),
        "{arguments} has a value or results"
    );
    assert!(
        value["steps"].as_array().is_some_and(|s| !s.is_empty()),
        "{arguments} shows its steps"
    );
    value
}

fn complaint(arguments: &str, input: &str) -> String {
    let out = ligule_with(arguments, input);
    assert_eq!(out.status.code(), Some(2), "{arguments}");
    assert!(
        out.stdout.is_empty(),
        "{arguments} prints nothing but its complaint"
    );
    String::from_utf8(out.stderr).expect("text")
}

const SPRING: &str = "--weather tests/data/weather/spring.csv";
const FORECAST: &str = "--forecast tests/data/weather/forecast.csv";

#[test]
fn every_command_answers_in_json() {
    let air = json("season air --temperature 20C --humidity 50");
    let delta = air["results"]
        .as_array()
        .expect("results")
        .iter()
        .find(|r| r["name"] == "Delta T")
        .expect("Delta T")
        .clone();
    assert_eq!(
        (delta["value"].as_str(), delta["unit"].as_str()),
        (Some("6.3"), Some("C")),
        "Stull 2011: 20 C and 50 percent"
    );
    let dd = json(&format!(
        "season degree-days {SPRING} --base 32F --start 2026-02-15"
    ));
    assert_eq!(
        (dd["unit"].as_str(), dd["complete"].as_bool()),
        (Some("degree days F"), Some(true))
    );
    let windows = json(&format!(
        "season windows {SPRING} --weed large-crabgrass --today 2026-04-10"
    ));
    assert!(
        windows["results"]
            .as_array()
            .is_some_and(|r| r.iter().any(|w| w["event"] == "crabgrass-apply-gdd"))
    );
    let hours = json(&format!(
        "season hours {FORECAST} --active dicamba --turf tall-fescue --at 36,-84"
    ));
    assert_eq!(hours["results"].as_array().map(Vec::len), Some(96));
    let plan =
        json("rotate plan --weed dandelion --turf tall-fescue --months 5,10 --from 2027 --years 3");
    assert_eq!(
        (
            plan["rotation"]["is"].as_str(),
            plan["results"].as_array().map(Vec::len)
        ),
        (Some("possible"), Some(6))
    );
    let compare = json(
        "rotate compare --weed dandelion --turf tall-fescue --months 5 --from 2027 --area-m2 500 --runs 5 --horizon 5",
    );
    assert_eq!(
        compare["results"]["curves"].as_array().map(Vec::len),
        Some(2)
    );
    let share = json("rotate share --start 1e-6 --pressure 20 --seed-years 3");
    assert_eq!(
        (share["value"].as_str(), share["evidence"].as_str()),
        (Some("6.19"), Some("memory"))
    );
    let suspect = json("rotate suspect --weed goosegrass --group 3");
    assert_eq!(
        suspect["results"]["suspicion"].as_str(),
        Some("not-settled")
    );
}

#[test]
fn runs_repeat_to_the_letter() {
    for arguments in [
        "rotate compare --weed dandelion --turf tall-fescue --months 5 --from 2027 --area-m2 500 --runs 5 --horizon 5 --seed 9".to_owned(),
        "rotate plan --weed goosegrass --turf common-bermudagrass --months 3,6 --from 2027".to_owned(),
        format!("season hours {FORECAST} --active dicamba --at 36,-84 --all"),
    ] {
        assert_eq!(ligule(&arguments).stdout, ligule(&arguments).stdout, "{arguments}");
    }
}

#[test]
fn the_strip_of_a_forecast_as_people_see_it() {
    let out = ligule(&format!(
        "season hours {FORECAST} --active dicamba --active 2,4-d --turf tall-fescue --at 36,-84"
    ));
    let text = String::from_utf8(out.stdout).expect("text");
    let strip: Vec<&str> = text.lines().take(6).collect();
    assert_eq!(
        strip,
        [
            "            0     6     12    18    ",
            "2026-05-04  ........!###++!!!!......",
            "2026-05-05  ........!###++!!!!......",
            "2026-05-06  ........!!!!!!!!!!......",
            "2026-05-07  ........................",
            "# best   + fit   ! with care   ? not known   . do not treat",
        ]
    );
    assert!(
        text.contains("from 2026-05-04T09:00:00 for 5 h, 3 of them best"),
        "{text}"
    );
    assert_eq!(out.status.code(), Some(0));
}

#[test]
fn no_fit_hour_is_the_answer_no() {
    let windy = "time,temperature_F,humidity_%,wind_mph,rain_mm,cloud_%\n2026-05-04T10:00-04:00,70,55,15,0,50\n";
    let out = ligule_with(
        "season hours --forecast - --active dicamba --at 36,-84",
        windy,
    );
    assert_eq!(out.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&out.stdout).contains("wind 15 mph, more than 5"));
}

#[test]
fn a_clash_with_new_seed_is_the_answer_no() {
    let out = ligule(&format!(
        "season windows {SPRING} --weed large-crabgrass --active prodiamine --treated 2026-04-01 --seeding 2026-05-20"
    ));
    assert_eq!(out.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&out.stdout).contains("prodiamine would hurt the new grass"));
}

#[test]
fn bad_input_is_told_with_the_remedy() {
    let file = "date,tmax_F,tmin_F\n2025-02-29,60,40\n";
    for (arguments, input, wanted) in [
        (
            "season degree-days --weather - --base 50F",
            file,
            "-:2: `2025-02-29` is no time here: that year has no 29 February",
        ),
        (
            "season degree-days --weather - --base 50",
            "date,tmax_F,tmin_F\n2026-03-01,60,40\n",
            "`50` has no unit",
        ),
        (
            "season degree-days --weather - --base 50F --upper 30C",
            "date,tmax_F,tmin_F\n2026-03-01,60,40\n",
            "different units",
        ),
        (
            "season degree-days --weather - --base 50F --method sine",
            "date,tmax_F,tmin_F\n2026-03-01,60,40\n",
            "single-sine",
        ),
        (
            "season degree-days --weather - --base 50F",
            "date,tmax\n2026-03-01,60\n",
            "states no unit",
        ),
        (
            "season degree-days --weather no-such-file.csv --base 50F",
            "",
            "cannot read no-such-file.csv",
        ),
        (
            "season hours --forecast - --active dicamba",
            "date,tmax_F\n2026-03-01,60\n",
            "hourly forecast",
        ),
        (
            "season hours --forecast - --at 136,200",
            "time,temperature_F\n2026-03-01T00:00,60\n",
            "latitude,longitude",
        ),
        (
            "season hours --forecast - --active dicambo",
            "time,temperature_F\n2026-03-01T00:00,60\n",
            "did you mean `dicamba`",
        ),
        (
            "season air --temperature 20C --humidity 150",
            "",
            "between 0 and 100",
        ),
        (
            "season air --temperature twenty --humidity 50",
            "",
            "no number with a unit",
        ),
        (
            "rotate plan --weed dandelion --turf tall-fescue --months 5 --from 2027 --used 2026/05=4",
            "",
            "year-month=groups",
        ),
        (
            "rotate plan --weed dandelion --turf tall-fescue --months 1,2,3,4,5 --from 2027",
            "",
            "at most four months",
        ),
        (
            "rotate plan --weed dandelion --turf tall-fescue --months 5 --from 2027 --resistant dandelion=999",
            "",
            "no site-of-action group",
        ),
        (
            "rotate compare --weed dandelion --turf tall-fescue --months 5 --from 2027 --area-m2 0",
            "",
            "1 to 10000000",
        ),
        (
            "rotate compare --weed dandelion --turf tall-fescue --months 5 --from 2027 --area-m2 9 --value seed=1",
            "",
            "there is no value `seed`",
        ),
        (
            "rotate share --start 2 --pressure 20 --seed-years 3",
            "",
            "shares above 0",
        ),
        (
            "rotate suspect --weed goosegrass --group 3 --answer rainn=no",
            "",
            "did you mean `rain`",
        ),
    ] {
        let told = complaint(arguments, input);
        assert!(told.contains(wanted), "{arguments}: {told}");
    }
}

#[test]
fn pictures_are_written_once_and_only_over_on_request() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("plan.svg");
    let arguments = format!(
        "rotate plan --weed dandelion --turf tall-fescue --months 5 --from 2027 --picture {}",
        path.display()
    );
    assert_eq!(ligule(&arguments).status.code(), Some(0));
    let first = std::fs::read_to_string(&path).expect("the picture");
    assert!(first.starts_with("<svg"));
    assert!(complaint(&arguments, "").contains("--force"));
    assert_eq!(
        ligule(&format!("{arguments} --force")).status.code(),
        Some(0)
    );
    assert_eq!(
        std::fs::read_to_string(&path).expect("the picture"),
        first,
        "the same plan, the same picture"
    );
}

#[test]
fn other_knowledge_without_these_lists_is_no_crash() {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(dir.path().join("weeds")).expect("a folder");
    std::fs::write(dir.path().join("traits.yaml"), "- {id: colour, question: Colour?, help: Look., kind: one, states: [{id: red}, {id: blue}], effort: glance, error: 0.1, source: memory}\n").expect("written");
    std::fs::write(
        dir.path().join("sources.yaml"),
        "memory: {evidence: memory, title: recalled}\n",
    )
    .expect("written");
    let out = ligule(&format!(
        "season hours {FORECAST} --knowledge {}",
        dir.path().display()
    ));
    assert_eq!(out.status.code(), Some(2));
    let told = String::from_utf8_lossy(&out.stderr);
    assert!(told.contains("no `limits` in weather.yaml"), "{told}");
}
