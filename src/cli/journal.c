/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The journal of this session: made with the first change, added to by one write a change, and flushed before the change
 * is made. */
#include "journal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "history.h"
#include "mouldwright/checksum.h"
#include "mouldwright/file.h"

enum { MOST_NAMES = 100 };

/* ---- bytes ---- */

/* Puts the file back to its last whole record. */
static bool cut_back(const journal *of)
{
    int done;
    do {
        done = ftruncate(of->file, of->length);
    } while (done != 0 && errno == EINTR);
    return done == 0;
}

static bool flush_file(int file)
{
    int done;
    do {
        done = fsync(file);
    } while (done != 0 && errno == EINTR);
    return done == 0;
}

static bool write_all(int file, mw_str bytes)
{
    while (bytes.length > 0) {
        ssize_t written = write(file, bytes.at, bytes.length);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            errno = written < 0 ? errno : EIO;
            return false;
        }
        bytes.at += written;
        bytes.length -= (size_t)written;
    }
    return true;
}

/* Adds a record behind the last whole one; false: errno, and what is there is as it was. */
static bool add_record(journal *of, record_kind kind, mw_str words)
{
    mw_text bytes = {0};
    record_write(kind, words, &bytes);
    if (bytes.failed) {
        mw_text_free(&bytes);
        errno = ENOMEM;
        return false;
    }
    /* Half a record may stand there from an attempt that could not be taken back. */
    bool well = cut_back(of) && write_all(of->file, (mw_str){bytes.data, bytes.length});
    well = well && (of->grouped || flush_file(of->file));
    if (well) {
        of->unflushed = of->grouped;
        of->before = of->length;
        of->length += (off_t)bytes.length;
    } else {
        int error = errno;
        bool cut = cut_back(of);
        (void)cut; /* tried again before the next record */
        errno = error;
    }
    mw_text_free(&bytes);
    return well;
}

/* ---- making one ---- */

void journal_real_path(const char *path, mw_text *out)
{
    char *whole = realpath(path, NULL);
    if (whole) {
        mw_text_adds(out, whole);
        free(whole); /* of realpath() */
        return;
    }
    mw_text folder = {0};
    mw_path_folder(&folder, mw_str_of(path));
    whole = realpath(mw_text_chars(&folder), NULL);
    mw_path_join(out, mw_str_of(whole ? whole : mw_text_chars(&folder)),
                 mw_path_base(mw_str_of(path)));
    free(whole);
    mw_text_free(&folder);
}

void journal_hash(mw_str text, mw_text *out)
{
    mw_text_addf(out, "%016llx", (unsigned long long)mw_hash64(text));
}

/* A line must stay one. */
static void add_path_line(mw_text *out, const char *path)
{
    for (; *path; path++) {
        mw_text_addc(out, *path == '\n' ? '?' : *path);
    }
    mw_text_addc(out, '\n');
}

static void head_words(const journal *of, mw_text *out)
{
    const char *path = mw_job_path(of->job);
    mw_text real = {0};
    char *folder = realpath(".", NULL);
    if (path) {
        journal_real_path(path, &real);
    }
    add_path_line(out, mw_text_chars(&real));
    journal_hash(mw_job_file_text(of->job), out);
    mw_text_addf(out, "\n%lld\n%s\n", (long long)time(NULL), MW_VERSION);
    add_path_line(out, folder ? folder : "");
    out->failed = out->failed || real.failed;
    free(folder); /* of realpath() */
    mw_text_free(&real);
}

/* Some file systems know no locks: there a journal is not guarded. */
static bool lock_own(int file)
{
    return flock(file, LOCK_EX | LOCK_NB) == 0 || errno == ENOLCK || errno == ENOSYS ||
           errno == EOPNOTSUPP;
}

/* Opens a new file of a name that nobody has, locked. */
static int open_new(journal *of)
{
    int file = -1;
    for (int i = 0; i < MOST_NAMES && file < 0; i++) {
        mw_text_clear(&of->path);
        mw_text_addf(&of->path, "%s/%lld-%ld-%d.journal", mw_text_chars(&of->folder),
                     (long long)time(NULL), (long)getpid(), i);
        if (of->path.failed) {
            errno = ENOMEM;
            return -1;
        }
        file = open(of->path.data, O_RDWR | O_APPEND | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
        if (file < 0 && errno != EEXIST && errno != EINTR) {
            return -1;
        }
        if (file >= 0 && !lock_own(file)) { /* another session is just looking at it */
            unlink(of->path.data);
            close(file);
            file = -1;
        }
    }
    return file;
}

static void make_folder(const journal *of)
{
    mw_text inside = {0};
    mw_text_addf(&inside, "%s/", mw_text_chars(&of->folder));
    history_make_folders(mw_text_chars(&inside)); /* opening tells what is wrong */
    mw_text_free(&inside);
}

/* The name must last as well. Some file systems cannot flush a folder. */
static void flush_folder(const journal *of)
{
    int folder = open(mw_text_chars(&of->folder), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (folder >= 0) {
        bool flushed = flush_file(folder);
        (void)flushed;
        close(folder);
    }
}

static void drop_file(journal *of)
{
    if (of->file >= 0) {
        if (unlink(mw_text_chars(&of->path)) != 0) {
            of->length = 0;
            bool cut = cut_back(of);
            (void)cut; /* what is in it was saved, or given up by its owner */
        }
        close(of->file);
    }
    of->file = -1;
    of->length = of->before = 0;
    of->unflushed = false;
}

/* Makes sure that there is a file that begins with the job. */
static bool open_journal(journal *of)
{
    if (of->file >= 0) {
        return true;
    }
    if (of->folder.length == 0) {
        errno = ENOENT;
        return false;
    }
    make_folder(of);
    of->file = open_new(of);
    mw_text head = {0};
    if (of->file >= 0) {
        of->length = of->before = 0;
        head_words(of, &head);
        bool well = !head.failed && add_record(of, RECORD_JOB, (mw_str){head.data, head.length});
        int error = head.failed ? ENOMEM : errno;
        if (well) {
            flush_folder(of);
        } else {
            drop_file(of);
            errno = error;
        }
    }
    mw_text_free(&head);
    return of->file >= 0;
}

bool journal_adopt(journal *of, const left_journal *left)
{
    int file = open(left->path, O_RDWR | O_APPEND | O_CLOEXEC);
    struct stat is;
    if (file < 0) {
        return false;
    }
    if (!lock_own(file) || fstat(file, &is) != 0 || is.st_nlink == 0 ||
        (size_t)is.st_size != left->length) {
        int error = errno ? errno : EBUSY;
        close(file);
        errno = error;
        return false;
    }
    drop_file(of);
    mw_text_clear(&of->path);
    mw_text_adds(&of->path, left->path);
    of->file = file;
    of->length = of->before = (off_t)((size_t)(left->rest.at - left->data) + left->rest.length);
    mw_job_keep(of->job, &of->keeper); /* steps are counted from here on */
    return !of->path.failed;
}

void journal_release(journal *of)
{
    if (of->file >= 0) {
        close(of->file);
    }
    of->file = -1;
    of->length = of->before = 0;
}

bool journal_note_job(journal *of)
{
    mw_text head = {0};
    head_words(of, &head);
    bool well = !head.failed && (!of->live || of->file < 0 ||
                                 add_record(of, RECORD_JOB, (mw_str){head.data, head.length}));
    mw_text_free(&head);
    return well;
}

/* ---- what the job tells ---- */

static mw_status refuse(const journal *of, mw_diags *diags)
{
    int error = errno;
    const char *where = of->folder.length > 0 ? mw_text_chars(&of->folder) : NULL;
    mw_diag *diag = mw_diags_error(
        diags, MW_CODE_CANNOT_KEEP, (mw_span){MW_NONE, 0, 0},
        where ? "this cannot be written into the journal, so it was not done: %s (%s)"
              : "there is no place for a journal, so it was not done: %s%s",
        where ? strerror(error) : "neither XDG_STATE_HOME nor HOME is set", where ? where : "");
    mw_diag_try(diags, diag,
                where ? "make room and say it again; or save and start with --no-journal"
                      : "start with --no-journal");
    return MW_FAILED;
}

static mw_status keep_record(journal *of, record_kind kind, mw_str words, mw_diags *diags)
{
    if (!of->live || of->playing) {
        return MW_OK;
    }
    return open_journal(of) && add_record(of, kind, words) ? MW_OK : refuse(of, diags);
}

static mw_status keep_hash(journal *of, mw_str text, mw_diags *diags)
{
    mw_text hash = {0};
    journal_hash(text, &hash);
    mw_status status =
        hash.failed ? MW_NO_MEMORY
                    : keep_record(of, RECORD_REVERT, (mw_str){hash.data, hash.length}, diags);
    mw_text_free(&hash);
    return status;
}

static void keep_saving_of(journal *of, const mw_kept *kept)
{
    mw_text words = {0};
    mw_text real = {0};
    journal_real_path(kept->path, &real);
    add_path_line(&words, mw_text_chars(&real));
    journal_hash(kept->words, &words);
    if (of->file >= 0 && !words.failed && !real.failed) {
        bool added = add_record(of, RECORD_SAVING, (mw_str){words.data, words.length});
        (void)added; /* a save must not fail for want of it */
    }
    mw_text_free(&words);
    mw_text_free(&real);
}

static mw_status keep(void *context, const mw_kept *kept, mw_diags *diags)
{
    journal *of = context;
    switch (kept->kind) {
    case MW_KEEP_SAY:
        return keep_record(of, RECORD_SAY, kept->words, diags);
    case MW_KEEP_UNDO:
        return keep_record(of, RECORD_UNDO, kept->words, diags);
    case MW_KEEP_REDO:
        return keep_record(of, RECORD_REDO, kept->words, diags);
    case MW_KEEP_TEXT:
        return keep_record(of, RECORD_TEXT, kept->words, diags);
    case MW_KEEP_REVERT:
        return keep_hash(of, kept->words, diags);
    case MW_KEEP_TAKE_BACK:
        if (of->live && !of->playing && of->file >= 0) {
            of->length = of->before;
            return cut_back(of) ? MW_OK : MW_FAILED;
        }
        return MW_OK;
    case MW_KEEP_SAVING:
        keep_saving_of(of, kept);
        return MW_OK;
    case MW_KEEP_SAVED:
        if (of->file >= 0) {
            bool added = add_record(of, RECORD_SAVED, (mw_str){0});
            (void)added;
            drop_file(of);
        }
        of->keeper.whole = false;
        return MW_OK;
    }
    return MW_OK;
}

/* ---- the life of it ---- */

void journal_start(journal *of, mw_job *job, bool live)
{
    *of = (journal){.file = -1, .live = live, .job = job};
    history_path(&of->folder, "XDG_STATE_HOME", ".local/state", "journal");
    of->keeper = (mw_keeper){.keep = keep, .context = of};
    mw_job_keep(job, &of->keeper);
}

void journal_end(journal *of, bool remove)
{
    if (of->job) {
        mw_job_keep(of->job, NULL);
        if (remove) {
            drop_file(of);
        } else if (of->file >= 0) {
            close(of->file);
        }
        of->file = -1;
    }
    mw_text_free(&of->path);
    mw_text_free(&of->folder);
}

void journal_group(journal *of)
{
    of->grouped = true;
}

bool journal_flush(journal *of)
{
    bool well = !of->unflushed || of->file < 0 || flush_file(of->file);
    of->grouped = of->unflushed = false;
    return well;
}
