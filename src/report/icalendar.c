/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan as iCalendar: an event for each session, for each wait after one, and for the day a mould is ready.
 * Source: RFC 5545 (content lines 3.1, TEXT 3.3.11, DATE-TIME form 1 3.3.5, VEVENT 3.6.1, UID 3.8.4.7, DTSTAMP 3.8.7.2). */
#include <math.h>

#include "figures.h"
#include "mouldwright/pricing.h"

enum { LINE_OCTETS = 75 };

/* Writes a content line, folded: a continuation begins with a blank, no character of UTF-8 is taken apart. */
static void write_line(mw_text *out, mw_text *line)
{
    size_t used = 0;
    const mw_str text = {mw_text_chars(line), line->length};
    for (size_t i = 0; i < text.length;) {
        size_t length = 1;
        while (i + length < text.length && ((unsigned char)text.at[i + length] & 0xC0) == 0x80) {
            length++;
        }
        if (used + length > LINE_OCTETS) {
            mw_text_adds(out, "\r\n ");
            used = 1;
        }
        mw_text_add_str(out, (mw_str){text.at + i, length});
        used += length;
        i += length;
    }
    mw_text_adds(out, "\r\n");
    out->failed = out->failed || line->failed;
    mw_text_clear(line);
}

static void add_escaped(mw_text *line, mw_str text)
{
    for (size_t i = 0; i < text.length; i++) {
        const char c = text.at[i];
        if (c == '\\' || c == ';' || c == ',') {
            mw_text_addc(line, '\\');
            mw_text_addc(line, c);
        } else if (c == '\n') {
            mw_text_adds(line, "\\n");
        } else if ((unsigned char)c >= 0x20 && c != 0x7F) {
            mw_text_addc(line, c);
        }
    }
}

/* Letters, digits and _ stand for themselves. */
static void add_identifier(mw_text *line, mw_str text)
{
    for (size_t i = 0; i < text.length; i++) {
        const char c = text.at[i];
        const bool plain =
            (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
        if (plain) {
            mw_text_addc(line, c);
        } else {
            mw_text_addf(line, "-%02x", (unsigned)(unsigned char)c);
        }
    }
}

typedef struct feed {
    report *in;
    mw_text *out;
    mw_text line;
} feed;

/* `20270203`, and with a time `T073000`: of the shop's own clock. */
static void add_moment(mw_text *line, double moment_s, bool time)
{
    const double whole_s = round(moment_s);
    const mw_date date = mw_date_of_day((int32_t)floor(whole_s / MW_DAY_S));
    mw_text_addf(line, "%04d%02d%02d", date.year, date.month, date.day);
    if (time) {
        const int of_day = (int)(whole_s - floor(whole_s / MW_DAY_S) * MW_DAY_S);
        mw_text_addf(line, "T%02d%02d%02d", of_day / 3600, of_day / 60 % 60, of_day % 60);
    }
}

static void plain_line(feed *to, const char *text)
{
    mw_text_adds(&to->line, text);
    write_line(to->out, &to->line);
}

/* BEGIN, UID, DTSTAMP. The same session has the same UID in every plan of the job, so that a newer one takes its place. */
static void begin_event(feed *to, const char *kind, mw_str mould, mw_str step, uint32_t number)
{
    plain_line(to, "BEGIN:VEVENT");
    mw_text_addf(&to->line, "UID:%s-%u-", kind, (unsigned)number);
    add_identifier(&to->line, mould);
    mw_text_addc(&to->line, '-');
    add_identifier(&to->line, step);
    mw_text_addc(&to->line, '-');
    add_identifier(&to->line, mw_job_name(to->in->job));
    mw_text_adds(&to->line, "@mouldwright.invalid");
    write_line(to->out, &to->line);
    mw_text_adds(&to->line, "DTSTAMP:");
    add_moment(&to->line, floor(mw_job_today(to->in->job) / MW_DAY_S) * MW_DAY_S, true);
    plain_line(to, "Z");
}

/* An event without an end takes no time. */
static void write_times(feed *to, double from_s, double until_s)
{
    mw_text_adds(&to->line, "DTSTART:");
    add_moment(&to->line, from_s, true);
    write_line(to->out, &to->line);
    if (round(until_s) > round(from_s)) {
        mw_text_adds(&to->line, "DTEND:");
        add_moment(&to->line, until_s, true);
        write_line(to->out, &to->line);
    }
}

static void write_holds(feed *to, const mw_session *of)
{
    const mw_plan_need *holds = mw_job_holds(to->in->job, of);
    for (uint32_t i = 0; i < of->hold_count; i++) {
        mw_text_adds(&to->line, i == 0 ? "CATEGORIES:" : ",");
        add_escaped(&to->line, mw_job_resource(to->in->job, holds[i].resource).name);
    }
    if (of->hold_count > 0) {
        write_line(to->out, &to->line);
    }
}

static void write_summary(feed *to, const char *lead, mw_str mould, mw_str step)
{
    mw_text_addf(&to->line, "SUMMARY:%s", lead);
    add_escaped(&to->line, mould);
    mw_text_adds(&to->line, ": ");
    add_escaped(&to->line, step);
}

static void write_session(feed *to, const mw_session *of)
{
    const mw_mould_view view = mw_job_mould(to->in->job, of->mould);
    const mw_step_row *step = &view.recipe->steps[of->step];
    begin_event(to, "work", view.name, step->name, of->number);
    write_times(to, of->start_s, of->end_s);
    write_summary(to, "", view.name, step->name);
    if (of->of > 1) {
        mw_text_addf(&to->line, " %u/%u", (unsigned)of->number, (unsigned)of->of);
    }
    write_line(to->out, &to->line);
    mw_text_adds(&to->line, "DESCRIPTION:");
    add_escaped(&to->line, step->about);
    if (of->crew > 0) {
        mw_text_addf(&to->line, "%s%u %s", step->about.length ? "\\n" : "", (unsigned)of->crew,
                     of->crew == 1 ? "person" : "people");
    }
    if (isfinite(of->window_until_s)) {
        mw_text_adds(&to->line, "\\nto be covered by ");
        mw_date_words(round(of->window_until_s / 60.0) * 60.0, &to->line);
    }
    write_line(to->out, &to->line);
    write_holds(to, of);
    plain_line(to, "END:VEVENT");
    if (of->wait_until_s > of->end_s + 60.0 && isfinite(of->wait_until_s)) {
        begin_event(to, "wait", view.name, step->name, of->number);
        write_times(to, of->end_s, of->wait_until_s);
        write_summary(to, "wait after ", view.name, step->name);
        write_line(to->out, &to->line);
        plain_line(to, "TRANSP:TRANSPARENT");
        plain_line(to, "END:VEVENT");
    }
}

static void write_ready(feed *to, uint32_t mould)
{
    const mw_str name = mw_job_mould(to->in->job, mould).name;
    const double ready_s = mw_job_value(to->in->job, mould, MW_NONE, "ready");
    if (!isfinite(ready_s)) {
        return;
    }
    begin_event(to, "ready", name, mw_str_of(""), 1);
    mw_text_adds(&to->line, "DTSTART;VALUE=DATE:");
    add_moment(&to->line, floor(ready_s / MW_DAY_S) * MW_DAY_S, false);
    write_line(to->out, &to->line);
    mw_text_adds(&to->line, "SUMMARY:");
    add_escaped(&to->line, name);
    plain_line(to, " ready");
    plain_line(to, "TRANSP:TRANSPARENT");
    plain_line(to, "END:VEVENT");
}

static void write_calendar(feed *to, uint32_t asked)
{
    uint32_t count = 0;
    plain_line(to, "BEGIN:VCALENDAR");
    plain_line(to, "VERSION:2.0");
    plain_line(to, "PRODID:-//Mouldwright//Workshop plan//EN");
    plain_line(to, "CALSCALE:GREGORIAN");
    const mw_session *list = mw_job_sessions(to->in->job, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (figure_asked(asked, list[i].mould) && isfinite(list[i].end_s)) {
            write_session(to, &list[i]);
        }
    }
    for (uint32_t m = 0; m < mw_job_mould_count(to->in->job); m++) {
        if (figure_asked(asked, m)) {
            write_ready(to, m);
        }
    }
    plain_line(to, "END:VCALENDAR");
}

mw_status mw_report_icalendar(mw_job *job, const mw_request *request, mw_text *out, mw_diags *diags)
{
    uint32_t mould;
    report made;
    if (!mw_str_is(request->word, "calendar")) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_SYNTAX, request->argument_at,
                                       "only `calendar` can be written as .ics");
        mw_diag_try(diags, diag, "paper calendar \"plan.ics\"");
        return MW_FAILED;
    }
    mw_status status = report_find_mould(job, request, &mould, diags);
    if (status == MW_OK) {
        status = report_start(&made, job, request, diags);
        feed to = {.in = &made, .out = out};
        if (status == MW_OK) {
            write_calendar(&to, mould);
            status = out->failed || to.line.failed ? MW_NO_MEMORY : MW_OK;
        }
        mw_text_free(&to.line);
        report_end(&made);
    }
    return status;
}
