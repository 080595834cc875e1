/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Saving in another folder: what the job names by a relative path, or found beside its file, must be found from there
 * too. */
#include "saving.h"

#include <sys/stat.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

static bool same_place(const char *a, const char *b)
{
    struct stat one;
    struct stat other;
    return stat(a, &one) == 0 && stat(b, &other) == 0 && one.st_dev == other.st_dev &&
           one.st_ino == other.st_ino;
}

bool save_same_file(const mw_job *job, const char *path)
{
    return job->path &&
           (mw_str_equal(mw_str_of(job->path), mw_str_of(path)) || same_place(job->path, path));
}

/* Whether a file that the job uses lies in its own folder or below it. */
static bool beside(const mw_job *job, uint32_t source, mw_str folder)
{
    mw_str name = mw_sources_name(job->sources, source);
    return name.length > folder.length && mw_str_equal((mw_str){name.at, folder.length}, folder) &&
           name.at[folder.length] == '/';
}

static mw_status refuse_beside(const mw_job *job, uint32_t source, const char *what,
                               mw_diags *diags)
{
    mw_str name = mw_sources_name(job->sources, source);
    mw_diag *diag = mw_diags_error(diags, MW_CODE_CANNOT_WRITE, job_nowhere(),
                                   "the %s `%.*s` lies beside the job and would not be found from "
                                   "the other folder; nothing is saved",
                                   what, (int)name.length, name.at);
    mw_diag_try(diags, diag, "save in the same folder, or copy that file there first");
    return MW_FAILED;
}

static mw_status check_library(const mw_job *job, mw_str folder, mw_diags *diags)
{
    const build *in = job->build;
    if (in->shop && beside(job, in->shop->file, folder)) {
        return refuse_beside(job, in->shop->file, "shop", diags);
    }
    for (uint32_t i = 0; i < in->kit_count; i++) {
        for (const mw_recipe *of = in->kits[i]->recipe; of; of = of->builds_on) {
            if (beside(job, of->file, folder)) {
                return refuse_beside(job, of->file, "recipe", diags);
            }
        }
    }
    return MW_OK;
}

static mw_status check_imports(const mw_job *job, mw_diags *diags)
{
    const document *of = &job->build->document;
    for (uint32_t i = 0; i < of->import_count; i++) {
        mw_str name = mw_sources_piece(job->sources, of->imports[i]->name);
        if (name.length > 0 && name.at[0] != '/') {
            mw_diag *diag =
                mw_diags_error(diags, MW_CODE_CANNOT_WRITE, of->imports[i]->name,
                               "`%.*s` would not be found from the other folder; nothing is saved",
                               (int)name.length, name.at);
            mw_diag_try(diags, diag, "save in the same folder, or name the file by its whole path");
            return MW_FAILED;
        }
    }
    return MW_OK;
}

mw_status save_check_folder(mw_job *job, const char *path, mw_diags *diags)
{
    mw_text old = {0};
    mw_text fresh = {0};
    mw_path_folder(&old, mw_str_of(job->path ? job->path : ""));
    mw_path_folder(&fresh, mw_str_of(path));
    mw_status status = old.failed || fresh.failed ? MW_NO_MEMORY : MW_OK;
    if (status == MW_OK && !same_place(mw_text_chars(&old), mw_text_chars(&fresh))) {
        status = check_imports(job, diags);
        if (status == MW_OK && job->path) {
            status = check_library(job, (mw_str){mw_text_chars(&old), old.length}, diags);
        }
    }
    mw_text_free(&old);
    mw_text_free(&fresh);
    return status;
}
