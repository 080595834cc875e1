/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole files of statements: what they say themselves, what the files say that they name, and what they take out of
 * that. */
#include "parts.h"

#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

#define JOB_FILE_LIMIT    ((size_t)64 << 20)
#define INCLUDE_DEPTH_MAX 16

/* The entry of that key in a list that keeps its keys, or NULL. */
static const entry *find_item(const entry_list *list, mw_str key)
{
    uint32_t at = list->keys ? mw_names_find(list->keys, key) : MW_NONE;
    return at == MW_NONE ? NULL : list->items[at];
}

/* Adds an entry whose key is not there yet. */
static mw_status add_keyed(entry_list *list, const entry *item)
{
    if (!list->keys) {
        list->keys = mw_names_new();
    }
    if (!list->keys || mw_names_add(list->keys, item->key) == MW_NONE) {
        return MW_NO_MEMORY;
    }
    return document_add(list, item);
}

static void refuse_twice(const entry *before, const entry *now, mw_diags *diags)
{
    mw_str name = now->name.length ? now->name : now->key;
    const char *only = now->kind == ENTRY_SHOP    ? "a job has one shop; this is a second one"
                       : now->kind == ENTRY_START ? "a job has one start; this is a second one"
                                                  : NULL;
    mw_diag *diag = only ? mw_diags_error(diags, MW_CODE_NAME_TWICE, now->span, "%s", only)
                         : mw_diags_error(diags, MW_CODE_NAME_TWICE, now->span,
                                          "`%.*s` is set twice", (int)name.length, name.at);
    mw_diag_other(diags, diag, before->span, "first set here");
}

/* Adds what is said to a list of names; the same name twice is refused. */
static mw_status add_own(entry_list *own, const entry_list *said, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < said->count && status != MW_NO_MEMORY; i++) {
        const entry *now = said->items[i];
        const entry *before = find_item(own, now->key);
        if (!before) {
            mw_status one = add_keyed(own, now);
            status = one != MW_OK ? one : status;
        } else if (!before->unsure && !now->unsure) {
            refuse_twice(before, now, diags);
            status = MW_FAILED;
        }
    }
    return status;
}

/* Keeps what is to be shown once the file is open. */
static mw_status keep_ask(mw_job *job, mw_span span)
{
    void *asks = job->asks;
    if (!mw_memory_grow(&asks, &job->ask_capacity, job->ask_count + 1, sizeof *job->asks)) {
        return MW_NO_MEMORY;
    }
    job->asks = asks;
    job->asks[job->ask_count++] = span;
    return MW_OK;
}

/* What the lines of one file come to. */
typedef struct file_lists {
    entry_list own;        /* said in the file itself */
    entry_list rows;       /* moulds of its lists: the file's own word goes first */
    uint32_t *rows_behind; /* by row: so many of `own` stand before it */
    size_t rows_room;
    entry_list included; /* said in files it includes: the file's own word and lists go first */
    entry_list gone;     /* taken out of what is included or listed: only key and span count */
} file_lists;

static void free_lists(file_lists *lists)
{
    entry_list_free(&lists->own);
    entry_list_free(&lists->rows);
    entry_list_free(&lists->included);
    entry_list_free(&lists->gone);
    mw_memory_give(lists->rows_behind);
}

/* `drop NAME` and `restore PATH` in a file: the name is left out of what other files bring in. `drop` may mean a line
 * or a mould. */
static mw_status take_away(mw_job *job, const mw_statement *statement, file_lists *lists,
                           mw_diags *diags)
{
    entry_list said = {0};
    mw_status status = document_taken(job, statement, &said);
    if (status == MW_OK) {
        status = add_own(&lists->gone, &said, diags);
    }
    entry_list_free(&said);
    return status;
}

static mw_status add_rows(file_lists *lists, const entry_list *said, mw_diags *diags)
{
    void *behind = lists->rows_behind;
    size_t before = lists->rows.count;
    if (!mw_memory_grow(&behind, &lists->rows_room, before + said->count,
                        sizeof *lists->rows_behind)) {
        return MW_NO_MEMORY;
    }
    lists->rows_behind = behind;
    mw_status status = add_own(&lists->rows, said, diags);
    for (size_t i = before; i < lists->rows.count; i++) {
        lists->rows_behind[i] = lists->own.count;
    }
    return status;
}

static mw_status add_imports(const entry_list *said, entry_list *list)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < said->import_count; i++) {
        status = document_add_import(list, said->imports[i]);
    }
    return status;
}

static mw_status add_said(mw_job *job, const mw_statement *statement, file_lists *lists,
                          mw_diags *diags)
{
    entry_list said = {0};
    mw_status status = document_entries(job, statement, &said, diags);
    if (status != MW_NO_MEMORY) {
        mw_status one = statement->kind == MW_SAY_INCLUDE ? add_own(&lists->included, &said, diags)
                        : statement->kind == MW_SAY_MOULDS_FROM
                            ? add_rows(lists, &said, diags)
                            : add_own(&lists->own, &said, diags);
        status = one != MW_OK ? one : status;
    }
    if (status != MW_NO_MEMORY) {
        mw_status one = add_imports(&said, &lists->own);
        status = one != MW_OK ? one : status;
    }
    entry_list_free(&said);
    return status;
}

/* Reads a statement. While the shop's units are not known, one that knows no unit is refused without a word. */
static mw_status parse_line(mw_job *job, mw_span line, mw_statement *statement, mw_diags *diags)
{
    mw_diags quiet;
    mw_reader reader = {&job->ast, job->measure, job->sources, diags};
    bool unit = false;
    mw_ast_clear(&job->ast);
    if (job->opening && job->shop_unseen) {
        mw_status status = mw_diags_start(&quiet);
        reader.diags = &quiet;
        status = status == MW_OK ? mw_parse_statement(&reader, line, statement) : status;
        unit =
            status == MW_FAILED && quiet.count > 0 && quiet.items[0].code == MW_CODE_UNKNOWN_UNIT;
        mw_diags_free(&quiet);
        if (status != MW_FAILED || unit) {
            return status;
        }
        reader.diags = diags;
        mw_ast_clear(&job->ast);
    }
    return mw_parse_statement(&reader, line, statement);
}

/* A statement that cannot be read. */
static mw_status add_broken(mw_job *job, mw_span line, file_lists *lists, mw_diags *diags)
{
    entry_list said = {0};
    mw_status status = document_broken(job, line, &said);
    if (status == MW_OK) {
        status = add_own(&lists->own, &said, diags);
    }
    entry_list_free(&said);
    return status == MW_NO_MEMORY ? status : MW_FAILED;
}

static mw_status read_line(mw_job *job, mw_span line, file_lists *lists, mw_diags *diags)
{
    mw_statement statement;
    mw_status status = parse_line(job, line, &statement, diags);
    if (status == MW_FAILED) {
        return add_broken(job, line, lists, diags);
    }
    if (status != MW_OK) {
        return status;
    }
    switch (statement.kind) {
    case MW_SAY_NOTHING:
        return MW_OK;
    case MW_SAY_RESTORE:
    case MW_SAY_DROP:
        return take_away(job, &statement, lists, diags);
    case MW_SAY_COPY_MOULD:
    case MW_SAY_COPY_JOB:
    case MW_SAY_NEW:
        mw_diags_error(diags, MW_CODE_UNKNOWN_STATEMENT, statement.span,
                       "this works at the prompt, not in a file");
        return MW_FAILED;
    case MW_SAY_SHOW:
    case MW_SAY_WHY:
    case MW_SAY_WHAT_IF:
    case MW_SAY_WEIGH:
    case MW_SAY_COMMAND:
    case MW_SAY_BALLPARK:
        return keep_ask(job, statement.span);
    case MW_SAY_SET:
    case MW_SAY_SHOP:
    case MW_SAY_START:
    case MW_SAY_MOULD:
    case MW_SAY_ALTERNATIVE:
    case MW_SAY_MOULDS_FROM:
    case MW_SAY_INCLUDE:
        break;
    }
    return add_said(job, &statement, lists, diags);
}

/* ---- the lists of a file joined ---- */

/* Whether a file takes this key out: `drop` stands for both a line and a mould of the name. */
static bool is_gone(const file_lists *lists, mw_str key)
{
    return find_item(&lists->gone, key) != NULL;
}

static mw_status refuse_own(const entry *gone, const entry *own, mw_diags *diags)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NAME_TWICE, gone->span,
                                   "`%.*s` is set in this file and taken out too",
                                   (int)gone->name.length, gone->name.at);
    mw_diag_other(diags, diag, own->span, "set here");
    mw_diag_try(diags, diag, "take out one of the two lines");
    return MW_FAILED;
}

static void warn_nothing(const entry *gone, mw_diags *diags)
{
    mw_diag *diag = mw_diags_warn(diags, MW_CODE_NOT_OVERRIDDEN, gone->span,
                                  "no file that is named here says `%.*s`: nothing is taken out",
                                  (int)gone->name.length, gone->name.at);
    mw_diag_try(diags, diag, "take out this line");
}

/* What a file takes out must be there, and not be its own word. Entries of the same statement stand side by side. */
static mw_status check_gone(const mw_job *job, const file_lists *lists, mw_diags *diags)
{
    mw_status status = MW_OK;
    bool there = false;
    for (uint32_t i = 0; i < lists->gone.count; i++) {
        const entry *gone = lists->gone.items[i];
        const entry *own = find_item(&lists->own, gone->key);
        bool last =
            i + 1 == lists->gone.count || lists->gone.items[i + 1]->span.begin != gone->span.begin;
        there = there || own || find_item(&lists->rows, gone->key) ||
                find_item(&lists->included, gone->key);
        if (own) {
            status = refuse_own(gone, own, diags);
        }
        if (last && !there && !job->unseen) {
            warn_nothing(gone, diags);
        }
        there = there && !last;
    }
    return status;
}

/* Hands the lists on: included things that the file itself does not say, then its own, with the rows of lists between
 * them where the lists stand. */
static mw_status join_lists(const file_lists *lists, entry_list *list)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < lists->included.count; i++) {
        const entry *item = lists->included.items[i];
        if (!find_item(&lists->own, item->key) && !find_item(&lists->rows, item->key) &&
            !is_gone(lists, item->key)) {
            status = document_add(list, item);
        }
    }
    list->included = list->count;
    uint32_t row = 0;
    for (uint32_t i = 0; status == MW_OK && i <= lists->own.count; i++) {
        for (; row < lists->rows.count && lists->rows_behind[row] <= i && status == MW_OK; row++) {
            const entry *item = lists->rows.items[row];
            if (!find_item(&lists->own, item->key) && !is_gone(lists, item->key)) {
                status = document_add(list, item);
            }
        }
        if (status == MW_OK && i < lists->own.count) {
            status = document_add(list, lists->own.items[i]);
        }
    }
    return status == MW_OK ? add_imports(&lists->own, list) : status;
}

/* Lines are read in three rounds, so that their order does not matter: the shop, which defines units and rates; files
 * that are included; all else. */
typedef enum file_round { ROUND_SHOP, ROUND_INCLUDE, ROUND_REST, ROUND_COUNT } file_round;

static bool starts_with(mw_str line, const char *word)
{
    size_t length = strlen(word);
    return line.length > length && memcmp(line.at, word, length) == 0 &&
           (line.at[length] == ' ' || line.at[length] == '\t' || line.at[length] == '"');
}

static file_round round_of(mw_str line)
{
    line = mw_str_trim(line);
    return starts_with(line, "shop")      ? ROUND_SHOP
           : starts_with(line, "include") ? ROUND_INCLUDE
                                          : ROUND_REST;
}

/* Loads the shop that a file names, for its units. What is wrong is said once, by the build. */
static mw_status load_shop_early(mw_job *job, const entry_list *own)
{
    const entry *named = find_item(own, mw_str_of("shop"));
    if (!named || named->broken) {
        job->shop_unseen = job->shop_unseen || named;
        return MW_OK;
    }
    mw_diags quiet;
    const mw_shop *shop = NULL;
    mw_status status = mw_diags_start(&quiet);
    if (status == MW_OK) {
        status = mw_library_shop(job->library, named->name, named->name_at, &shop, &quiet);
    }
    mw_diags_free(&quiet);
    job->shop_unseen = job->shop_unseen || status == MW_FAILED;
    return status == MW_NO_MEMORY ? status : MW_OK;
}

static mw_status read_round(mw_job *job, uint32_t source, file_round round, file_lists *lists,
                            mw_diags *diags)
{
    mw_status status = MW_OK;
    mw_span line;
    uint32_t at = 0;
    while (status != MW_NO_MEMORY && mw_next_line(job->sources, source, &at, &line)) {
        if (round_of(mw_sources_piece(job->sources, line)) == round) {
            mw_status one = read_line(job, line, lists, diags);
            status = one != MW_OK ? one : status;
        }
    }
    return status;
}

static mw_status read_lines(mw_job *job, uint32_t source, entry_list *list, mw_diags *diags)
{
    file_lists lists = {0};
    mw_status status = MW_OK;
    for (int round = 0; status != MW_NO_MEMORY && round < ROUND_COUNT; round++) {
        mw_status one = read_round(job, source, (file_round)round, &lists, diags);
        status = one != MW_OK ? one : status;
        if (round == ROUND_SHOP && status != MW_NO_MEMORY) {
            one = load_shop_early(job, &lists.own);
            status = one != MW_OK ? one : status;
        }
    }
    if (status != MW_NO_MEMORY) {
        mw_status gone = check_gone(job, &lists, diags);
        mw_status joined = join_lists(&lists, list);
        status = joined != MW_OK ? joined : gone != MW_OK ? gone : status;
    }
    free_lists(&lists);
    return status;
}

/* Whether a file is being read already (an include loop) or the includes are too deep. */
static bool loops(mw_job *job, mw_str name, mw_span at, mw_diags *diags)
{
    for (uint32_t i = 0; i < job->open_count; i++) {
        if (mw_str_equal(mw_sources_name(job->sources, job->open_files[i]), name)) {
            mw_diag *diag =
                mw_diags_error(diags, MW_CODE_INCLUDE_LOOP, at, "`%.*s` would include itself",
                               (int)name.length, name.at);
            mw_text way = {0};
            for (uint32_t k = i; k < job->open_count; k++) {
                mw_text_add_str(&way, mw_sources_name(job->sources, job->open_files[k]));
                mw_text_adds(&way, " -> ");
            }
            mw_text_add_str(&way, name);
            mw_diag_extra(diags, diag, "%s", mw_text_chars(&way));
            mw_text_free(&way);
            return true;
        }
    }
    if (job->open_count >= INCLUDE_DEPTH_MAX) {
        mw_diags_error(diags, MW_CODE_INCLUDE_LOOP, at, "more than %d files inside each other",
                       INCLUDE_DEPTH_MAX);
        return true;
    }
    return false;
}

mw_status job_read_source(mw_job *job, const char *path, mw_span at, uint32_t *source,
                          mw_diags *diags)
{
    char *data = NULL;
    size_t length = 0;
    mw_status status = mw_file_read(path, JOB_FILE_LIMIT, &data, &length);
    if (status == MW_IO) {
        bool missing = errno == ENOENT;
        mw_diag *diag = mw_diags_error(diags,
                                       missing          ? MW_CODE_NO_SUCH_FILE
                                       : errno == EFBIG ? MW_CODE_TOO_BIG
                                                        : MW_CODE_CANNOT_READ,
                                       at, "cannot read `%s`: %s", path, strerror(errno));
        mw_diag_try(diags, diag, "check the name and where the file lies");
        return MW_FAILED;
    }
    if (status != MW_OK) {
        return status;
    }
    *source = mw_sources_adopt(job->sources, mw_str_of(path), data, length);
    if (*source == MW_NONE) {
        mw_memory_give(data);
        return MW_NO_MEMORY;
    }
    size_t bad = mw_utf8_check((mw_str){data, length});
    if (bad < length) {
        mw_diags_error(diags, MW_CODE_BAD_TEXT,
                       (mw_span){*source, (uint32_t)bad, (uint32_t)bad + 1},
                       "this byte is not valid UTF-8 text");
        return MW_FAILED;
    }
    return MW_OK;
}

static mw_status load_file(mw_job *job, const char *path, mw_span at, entry_list *list,
                           mw_diags *diags)
{
    uint32_t source = MW_NONE;
    mw_status status = loops(job, mw_str_of(path), at, diags)
                           ? MW_FAILED
                           : job_read_source(job, path, at, &source, diags);
    if (status != MW_OK) {
        job->unseen = true;
        return status;
    }
    job->open_files[job->open_count++] = source;
    status = read_lines(job, source, list, diags);
    job->open_count--;
    return status;
}

mw_status document_load(mw_job *job, const char *path, entry_list *list, mw_diags *diags)
{
    return load_file(job, path, job_nowhere(), list, diags);
}

mw_status document_read(mw_job *job, uint32_t source, entry_list *list, mw_diags *diags)
{
    job->open_files[job->open_count++] = source;
    mw_status status = read_lines(job, source, list, diags);
    job->open_count--;
    return status;
}

/* ---- files that a statement names ---- */

/* Writes the path of a file named in `span`, relative to the file that names it. */
void document_resolve(mw_job *job, mw_span named, mw_text *out)
{
    mw_text folder = {0};
    mw_str source = mw_sources_name(job->sources, named.source);
    bool typed = source.length == 0 || source.at[0] == '<';
    mw_path_folder(&folder, typed ? mw_str_of(job->path ? job->path : "") : source);
    mw_path_join(out, (mw_str){mw_text_chars(&folder), folder.length},
                 mw_sources_piece(job->sources, named));
    out->failed = out->failed || folder.failed;
    mw_text_free(&folder);
}

mw_status document_add_import(entry_list *list, const import *made)
{
    void *imports = (void *)list->imports;
    if (!mw_memory_grow32(&imports, &list->import_capacity, list->import_count + 1,
                          sizeof *list->imports)) {
        return MW_NO_MEMORY;
    }
    list->imports = imports;
    list->imports[list->import_count++] = made;
    return MW_OK;
}

/* Keeps what an import says, each name once. */
static mw_status fill_import(mw_job *job, import *made, const entry_list *said, entry_list *list,
                             mw_diags *diags)
{
    const entry **items = mw_arena_get(job->arena, (said->count + 1) * sizeof *items);
    mw_status status = items ? document_add_import(list, made) : MW_NO_MEMORY;
    entry_list once = {0};
    if (status == MW_OK) {
        status = add_own(&once, said, diags);
    }
    for (uint32_t i = 0; status != MW_NO_MEMORY && i < said->count; i++) {
        mw_status one = document_add(list, said->items[i]);
        items[i] = said->items[i];
        status = one != MW_OK ? one : status;
    }
    made->items = items;
    made->count = said->count;
    entry_list_free(&once);
    return status;
}

/* What a file says is remembered as an import of the outermost file that names one. */
mw_status document_import(mw_job *job, const mw_statement *statement, entry_list *list,
                          mw_diags *diags)
{
    mw_text path = {0};
    bool outermost = job->importing == NULL;
    import *made = mw_arena_get(job->arena, sizeof *made);
    document_resolve(job, statement->name, &path);
    if (!made || path.failed) {
        mw_text_free(&path);
        return MW_NO_MEMORY;
    }
    *made = (import){.list = statement->kind == MW_SAY_MOULDS_FROM,
                     .statement = statement->span,
                     .name = statement->name,
                     .path = job_copy(job->arena, (mw_str){mw_text_chars(&path), path.length})};
    entry_list said = {0};
    job->importing = outermost ? made : job->importing;
    mw_status status = !made->path.at ? MW_NO_MEMORY
                       : made->list ? csv_moulds(job, made->path.at, statement->name, &said, diags)
                                    : load_file(job, made->path.at, statement->name, &said, diags);
    job->importing = outermost ? NULL : job->importing;
    if (status !=
        MW_NO_MEMORY) { /* of a faulty file too what is known, for other faults to be found */
        mw_status one = fill_import(job, made, &said, list, diags);
        status = one != MW_OK ? one : status;
    }
    entry_list_free(&said);
    mw_text_free(&path);
    return status;
}
