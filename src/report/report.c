/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports by their word. */
#include "grid.h"

#include "mouldwright/suggest.h"

/* Each takes a mould (MW_NONE: all) or, where it is of certain days, the request. */
static const struct {
    const char *word;
    mw_status (*make)(report *in, uint32_t mould);
    mw_status (*make_of)(report *in, const mw_request *request);
} reports[] = {
    {.word = "moulds", .make = report_moulds},     {.word = "takeoff", .make = report_takeoff},
    {.word = "hours", .make = report_hours},       {.word = "waits", .make = report_waits},
    {.word = "calendar", .make = report_calendar}, {.word = "timeline", .make = report_timeline},
    {.word = "roster", .make_of = report_roster},  {.word = "use", .make_of = report_use},
    {.word = "cost", .make = report_cost},         {.word = "cautions", .make = report_cautions},
    {.word = "buying", .make = report_buying},     {.word = "pricing", .make = report_pricing}};

enum { REPORT_COUNT = sizeof reports / sizeof *reports };

mw_status report_find_mould(mw_job *job, const mw_request *request, uint32_t *mould,
                            mw_diags *diags)
{
    *mould = MW_NONE;
    if (request->argument.length == 0) {
        return MW_OK;
    }
    *mould = mw_job_mould_find(job, request->argument);
    if (*mould != MW_NONE) {
        return MW_OK;
    }
    mw_diag *diag = mw_diags_error(diags, MW_CODE_UNKNOWN_MOULD, request->argument_at,
                                   "there is no mould `%.*s`", (int)request->argument.length,
                                   request->argument.at);
    mw_suggest nearest;
    mw_suggest_start(&nearest, request->argument);
    for (uint32_t m = 0; m < mw_job_mould_count(job); m++) {
        mw_suggest_offer(&nearest, mw_job_mould(job, m).name);
    }
    if (nearest.best.length > 0) {
        mw_diag_try(diags, diag, "%.*s %.*s", (int)request->word.length, request->word.at,
                    (int)nearest.best.length, nearest.best.at);
    }
    return MW_FAILED;
}

static size_t which_report(mw_str word)
{
    size_t which = 0;
    while (which < REPORT_COUNT && !mw_str_is(word, reports[which].word)) {
        which++;
    }
    return which;
}

mw_status report_subject(mw_job *job, const mw_request *request, uint32_t *mould, mw_diags *diags)
{
    size_t which = which_report(request->word);
    *mould = MW_NONE;
    return which < REPORT_COUNT && reports[which].make_of
               ? MW_OK
               : report_find_mould(job, request, mould, diags);
}

mw_status report_make(report *made, const mw_request *request, uint32_t mould)
{
    size_t which = which_report(request->word);
    if (which == REPORT_COUNT) {
        return MW_NOT_FOUND;
    }
    return reports[which].make_of ? reports[which].make_of(made, request)
                                  : reports[which].make(made, mould);
}

static mw_status write_report(mw_job *job, const mw_request *request, mw_text *out, mw_diags *diags)
{
    uint32_t mould;
    report made;
    mw_status status = report_subject(job, request, &mould, diags);
    if (status != MW_OK) {
        return status;
    }
    status = report_start(&made, job, request, diags);
    if (status == MW_OK) {
        status = report_make(&made, request, mould);
    }
    if (status == MW_OK) {
        status = report_write(&made, out);
    }
    report_end(&made);
    return status;
}

mw_status mw_report(mw_job *job, const mw_request *request, mw_text *out, mw_diags *diags)
{
    size_t which = which_report(request->word);
    if (which == REPORT_COUNT) {
        return MW_NOT_FOUND;
    }
    bool of_mould = !reports[which].make_of && request->argument.length > 0;
    if (mw_job_mould_count(job) == 0 && !of_mould) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_NO_MOULDS, (mw_span){.source = MW_NONE},
                                       "the job has no moulds to report on");
        mw_diag_try(diags, diag, "mould hull: area 5 m2, recipe \"usual mould\"");
        return MW_FAILED;
    }
    return write_report(job, request, out, diags);
}
