//! `batch`: many jobs.

use super::{
    ALL_MEET, EdgeFault, Ends, NOT_ALL_MEET, arguments::BatchArguments, is_same_file, progress::Progress,
    workshop,
};
use crate::batch::{self, Earlier, Request};

pub(super) fn batch(arguments: &BatchArguments, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    if [&arguments.table, &arguments.job].into_iter().any(|input| is_same_file(input, &arguments.out)) {
        return Err(EdgeFault::OutIsInput { path: arguments.out.clone() });
    }
    let library = workshop::library(arguments.data.as_deref())?;
    let mut progress = Progress::of("computing the rows", ends.quiet);
    let request = Request {
        table: &arguments.table,
        template: &arguments.job,
        out: &arguments.out,
        earlier: match (arguments.resume, arguments.replace) {
            (true, _) => Earlier::Resume,
            (_, true) => Earlier::Replace,
            _ => Earlier::Refuse,
        },
        allowable_lengths: arguments.allowable_lengths,
        data: arguments.data.as_deref(),
    };
    let summary = batch::run(&request, &library, &mut |share| progress.tell(share))?;
    drop(progress);
    for (row, fault) in &summary.faults {
        ends.remark(&format!("row {row}: {fault}"));
    }
    let told = summary.faults.len() as u64;
    if summary.unread() > told {
        let more = summary.unread() - told;
        ends.remark(&format!("and {more} more; see the column `fault` of the results"));
    }
    let by_verdict: Vec<String> =
        summary.verdicts.iter().map(|(verdict, count)| format!("{verdict} {count}")).collect();
    ends.remark(&format!("{} rows: {}", summary.rows(), by_verdict.join(", ")));
    if summary.resumed > 0 {
        ends.remark(&format!("{} of them were there from an earlier run", summary.resumed));
    }
    ends.remark(&format!("wrote {}", arguments.out.display()));
    Ok(if summary.all_meet() { ALL_MEET } else { NOT_ALL_MEET })
}
