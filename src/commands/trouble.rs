//! `trouble`
use super::*;
#[derive(Debug, Args)]
pub struct TroubleArgs {
    #[command(flatten)]
    pub site: SiteArgs,
}
pub fn run(args: &TroubleArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let _ = (args, today);
    Err(Answer::usage(String::new()))
}
