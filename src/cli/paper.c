/* SPDX-License-Identifier: GPL-3.0-or-later */
/* paper: documents written to files. */
#include "cli.h"

#include <errno.h>
#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/json.h"
#include "mouldwright/suggest.h"

/* What stands behind `paper`. */
typedef struct paper_words {
    mw_str word, mould, path;
    mw_str rest; /* behind the file */
} paper_words;

static mw_status refuse(cli *program, mw_span at, mw_code code, const char *message)
{
    mw_diag *diag = mw_diags_error(&program->diags, code, at, "%s", message);
    mw_diag_try(&program->diags, diag, "paper quotation \"offer.pdf\"");
    return MW_FAILED;
}

/* The span of a piece of the statement's rest. */
static mw_span span_of(const cli *program, const mw_statement *statement, mw_str piece)
{
    const mw_str whole = mw_sources_piece(mw_job_sources(program->job), statement->rest);
    const uint32_t begin = statement->rest.begin + (uint32_t)(piece.at - whole.at);
    return (mw_span){statement->rest.source, begin, begin + (uint32_t)piece.length};
}

/* `at SHARE`, `samples N`, `seed N`: they are handed on to a run of `risk`, as one piece. */
static bool is_of_risk(mw_str wish)
{
    static const char *const words[] = {"at ", "samples ", "seed "};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        const size_t length = strlen(words[i]);
        if (wish.length > length && memcmp(wish.at, words[i], length) == 0) {
            return true;
        }
    }
    return false;
}

static bool only_comma_between(const cli *program, uint32_t from, mw_span next)
{
    const mw_span between = {next.source, from, next.begin};
    return mw_str_is(mw_str_trim(mw_sources_piece(mw_job_sources(program->job), between)), ",");
}

/* One wish behind the file: `a4`, `letter`, words of a run of `risk`, `since "JOB"`. */
static mw_status read_wish(cli *program, const mw_statement *statement, mw_str wish,
                           mw_paper_request *to)
{
    const mw_span at = span_of(program, statement, wish);
    if (mw_str_is(wish, "a4") || mw_str_is(wish, "letter")) {
        to->size = mw_str_is(wish, "a4") ? MW_PAPER_A4 : MW_PAPER_LETTER;
        return MW_OK;
    }
    if (is_of_risk(wish)) {
        if (to->at.source != MW_NONE && !only_comma_between(program, to->at.end, at)) {
            return refuse(program, at, MW_CODE_SYNTAX, "this belongs beside the words of `risk`");
        }
        to->at = to->at.source == MW_NONE ? at : (mw_span){at.source, to->at.begin, at.end};
        return MW_OK;
    }
    if (wish.length > 8 && memcmp(wish.at, "since \"", 7) == 0 && wish.at[wish.length - 1] == '"') {
        to->since = (mw_str){wish.at + 7, wish.length - 8};
        to->since_at = at;
        return MW_OK;
    }
    mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_SYNTAX, at,
                                   "behind the file may stand: a4 or letter, at a share, "
                                   "samples and seed of a run, since an older job");
    mw_diag_try(&program->diags, diag, "paper quotation \"offer.pdf\" letter, at 80 %%");
    return MW_FAILED;
}

/* WISH {"," WISH}; a comma within quotes parts nothing. */
static mw_status read_wishes(cli *program, const mw_statement *statement, mw_str rest,
                             mw_paper_request *to)
{
    mw_status status = MW_OK;
    size_t from = 0;
    bool quoted = false;
    for (size_t i = 0; status == MW_OK && rest.length > 0 && i <= rest.length; i++) {
        quoted = i < rest.length && rest.at[i] == '"' ? !quoted : quoted;
        if (i == rest.length || (rest.at[i] == ',' && !quoted)) {
            status =
                read_wish(program, statement, mw_str_trim((mw_str){rest.at + from, i - from}), to);
            from = i + 1;
        }
    }
    return status;
}

/* `WORD [MOULD] "FILE" [WISHES]`. */
static mw_status read_words(cli *program, const mw_statement *statement, paper_words *out)
{
    mw_str rest = mw_str_trim(mw_sources_piece(mw_job_sources(program->job), statement->rest));
    const char *open = rest.length ? memchr(rest.at, '"', rest.length) : NULL;
    if (!open) {
        return refuse(program, statement->rest, MW_CODE_SYNTAX,
                      "a document's word and, in quotes, a file are expected here");
    }
    const size_t before = (size_t)(open - rest.at);
    const char *close = memchr(open + 1, '"', rest.length - before - 1);
    if (!close) {
        return refuse(program, statement->rest, MW_CODE_UNCLOSED, "this quote is not closed");
    }
    out->path = (mw_str){open + 1, (size_t)(close - open) - 1};
    out->rest = mw_str_trim((mw_str){close + 1, (size_t)(rest.at + rest.length - close) - 1});
    mw_str words = mw_str_trim((mw_str){rest.at, before});
    const char *blank = words.length ? memchr(words.at, ' ', words.length) : NULL;
    out->word = blank ? (mw_str){words.at, (size_t)(blank - words.at)} : words;
    out->mould =
        blank ? mw_str_trim((mw_str){blank, words.length - out->word.length}) : (mw_str){"", 0};
    return out->word.length > 0 && out->path.length > 0
               ? MW_OK
               : refuse(program, statement->rest, MW_CODE_SYNTAX,
                        "a document's word and a file are expected here");
}

/* PDF is written by a module of its own. */
static const struct {
    const char *ending;
    mw_status (*write)(const mw_paper *paper, mw_text *out);
} formats[] = {
    {".pdf", NULL}, {".html", mw_paper_html}, {".md", mw_paper_markdown}, {".csv", mw_paper_csv}};

enum { FORMATS = sizeof formats / sizeof *formats };

/* So are pictures as PNG. */
static const char picture_png[] = ".png";
static const char picture_svg[] = ".svg";

static bool ends_in(mw_str path, const char *ending)
{
    const size_t length = strlen(ending);
    return path.length > length && memcmp(path.at + path.length - length, ending, length) == 0;
}

static size_t format_of(mw_str path)
{
    for (size_t i = 0; i < FORMATS; i++) {
        if (ends_in(path, formats[i].ending)) {
            return i;
        }
    }
    return FORMATS;
}

static mw_status say_unknown(cli *program, const mw_statement *statement, mw_str word)
{
    mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_UNKNOWN_NAME, statement->rest,
                                   "there is no document `%.*s`", (int)word.length, word.at);
    mw_suggest nearest;
    mw_suggest_start(&nearest, word);
    mw_suggest_offer(&nearest, mw_str_of("quotation"));
    mw_suggest_offer(&nearest, mw_str_of("costing"));
    mw_suggest_offer(&nearest, mw_str_of("wall"));
    for (const mw_command_row *row = mw_command_rows(); row->word; row++) {
        if (row->report) {
            mw_suggest_offer(&nearest, mw_str_of(row->word));
        }
    }
    if (nearest.best.length > 0) {
        mw_diag_try(&program->diags, diag, "paper %.*s", (int)nearest.best.length, nearest.best.at);
    } else {
        mw_diag_try(&program->diags, diag, "quotation, costing, wall, or a report such as buying");
    }
    return MW_FAILED;
}

/* What a user can do where no PDF came out. */
static const struct {
    const char *message, *try;
} pdf_faults[] = {
    [MW_PDF_NO_FONTS] = {"no PDF: there is no font on this machine",
                         "apt install fonts-dejavu-core"},
    [MW_PDF_FAILED] = {"no PDF: cairo could not make one of this document",
                       "paper quotation \"offer.html\", and print that"},
    [MW_PDF_NO_MODULE] = {"no PDF: mouldwright-pdf.so is not beside the program, nor installed",
                          "`make` or `make install` puts it there; .html can be printed, too"},
    [MW_PDF_NO_LIBRARY] = {"no PDF: mouldwright-pdf.so cannot be used",
                           "apt install libpangocairo-1.0-0; .html can be printed, too"}};

static mw_status say_no_pdf(cli *program, mw_span at, mw_paper_pdf_status why, const mw_text *words)
{
    mw_diag *diag =
        mw_diags_error(&program->diags, MW_CODE_NO_PDF, at, "%s%s%s", pdf_faults[why].message,
                       words->length > 0 ? ": " : "", mw_text_chars(words));
    mw_diag_try(&program->diags, diag, "%s", pdf_faults[why].try);
    return MW_FAILED;
}

typedef mw_paper_pdf_status (*module_writer)(const mw_paper *paper, const char *const *modules,
                                             size_t count, mw_text *out, mw_text *why);

static mw_status write_by_module(cli *program, mw_span at, const mw_paper *paper,
                                 module_writer writer, mw_text *data)
{
    size_t count = 0;
    mw_text why = {0};
    char **modules = cli_modules("mouldwright-pdf.so", &count);
    const mw_paper_pdf_status made =
        modules ? writer(paper, (const char *const *)modules, count, data, &why) : MW_PDF_LOST;
    mw_status status = made == MW_PDF_WRITTEN ? MW_OK
                       : made == MW_PDF_LOST  ? MW_NO_MEMORY
                                              : say_no_pdf(program, at, made, &why);
    cli_folders_free(modules, count);
    mw_text_free(&why);
    return status;
}

static mw_status write_file(cli *program, mw_span at, mw_str path, const mw_text *data)
{
    mw_text name = {0};
    mw_text_add_str(&name, path);
    mw_status status = name.failed ? MW_NO_MEMORY
                                   : mw_file_replace(mw_text_chars(&name),
                                                     (mw_str){mw_text_chars(data), data->length});
    if (status == MW_IO) {
        mw_diags_error(&program->diags, MW_CODE_CANNOT_WRITE, at, "%s: %s", mw_text_chars(&name),
                       strerror(errno));
        status = MW_FAILED;
    }
    mw_text_free(&name);
    return status;
}

static void say_written(const cli *program, mw_str path, mw_text *out)
{
    if (program->style.json) {
        mw_json json = {.out = out};
        mw_json_open(&json, '{');
        mw_json_key(&json, "written");
        mw_json_add_string(&json, path);
        mw_json_key(&json, "opened");
        mw_json_add_truth(&json, false);
        mw_json_close(&json, '}');
        mw_text_addc(out, '\n');
    } else {
        mw_text_addf(out, "written: %.*s\n", (int)path.length, path.at);
    }
}

/* Makes the document and writes it in the form that the file's ending names. */
static mw_status write_paper(cli *program, const mw_statement *statement, const paper_words *words,
                             mw_text *data)
{
    const size_t format = format_of(words->path);
    mw_paper *paper = NULL;
    mw_paper_request request = {
        .what = {words->word, words->mould, statement->rest, &program->style},
        .at = {.source = MW_NONE},
        .since_at = {.source = MW_NONE}};
    if (ends_in(words->path, ".ics")) {
        return mw_report_icalendar(program->job, &request.what, data, &program->diags);
    }
    if (format == FORMATS) {
        return refuse(program, statement->rest, MW_CODE_SYNTAX,
                      "the file's ending says how it is written: .pdf, .html, .md, .csv or .ics");
    }
    mw_status status = read_wishes(program, statement, words->rest, &request);
    if (status == MW_OK) {
        status = mw_report_paper(program->job, &request, &paper, &program->diags);
        status = status == MW_NOT_FOUND ? say_unknown(program, statement, words->word) : status;
    }
    if (status == MW_OK) {
        status = formats[format].write
                     ? formats[format].write(paper, data)
                     : write_by_module(program, statement->rest, paper, mw_paper_pdf, data);
    }
    mw_paper_free(paper);
    return status;
}

mw_status cli_paper(cli *program, const mw_statement *statement, mw_text *out)
{
    paper_words words = {{0}, {0}, {0}, {0}};
    mw_text data = {0};
    mw_status status = read_words(program, statement, &words);
    if (status == MW_OK) {
        status = write_paper(program, statement, &words, &data);
    }
    if (status == MW_OK) {
        status = write_file(program, statement->rest, words.path, &data);
    }
    if (status == MW_OK) {
        say_written(program, words.path, out);
    }
    mw_text_free(&data);
    return status;
}

static mw_status write_picture(cli *program, mw_span at, const mw_risk_picture *picture,
                               mw_text *data)
{
    if (ends_in(picture->file, picture_svg)) {
        return mw_paper_svg(picture->paper, data);
    }
    if (ends_in(picture->file, picture_png)) {
        return write_by_module(program, at, picture->paper, mw_paper_png, data);
    }
    return ends_in(picture->file, ".pdf")
               ? write_by_module(program, at, picture->paper, mw_paper_pdf, data)
               : mw_paper_html(picture->paper, data);
}

mw_status cli_risk(cli *program, const mw_request *request, mw_text *out)
{
    mw_risk_picture picture;
    mw_text data = {0};
    mw_status status = mw_report_risk(program->job, request, &picture, out, &program->diags);
    if (status == MW_OK && picture.paper) {
        status = write_picture(program, request->argument_at, &picture, &data);
        status = status == MW_OK ? write_file(program, request->argument_at, picture.file, &data)
                                 : status;
    }
    if (status == MW_OK && picture.paper) {
        say_written(program, picture.file, out);
    }
    mw_text_free(&data);
    mw_paper_free(picture.paper);
    return status;
}
