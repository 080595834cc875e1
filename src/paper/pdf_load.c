/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finding the module that writes PDF. cairo, pango and what they need take some ten milliseconds to load: a session that
 * writes no PDF does without. */
#include "mouldwright/paper.h"

#include <dlfcn.h>
#include <string.h>
#include <unistd.h>

static bool fits(const mw_paper_module *module)
{
    return strcmp(module->version, MW_VERSION) == 0 && module->paper_size == sizeof(mw_paper) &&
           module->item_size == sizeof(mw_paper_item) &&
           module->shape_size == sizeof(mw_paper_shape);
}

/* GLib does not survive being unloaded, so the module stays. */
static const mw_paper_module *load(const char *path, mw_text *why)
{
    void *handle = dlopen(path, RTLD_NOW | RTLD_LOCAL | RTLD_NODELETE);
    const mw_paper_module *module = handle ? dlsym(handle, "mw_pdf_module") : NULL;
    if (!module) {
        mw_text_adds(why, dlerror());
    } else if (!fits(module)) {
        mw_text_addf(why, "%s belongs to another version of the program", path);
        module = NULL;
    }
    return module;
}

static bool take(void *to, const void *bytes, size_t length)
{
    mw_text *out = to;
    mw_text_add(out, bytes, length);
    return !out->failed;
}

/* Where the module may be. */
typedef struct module_files {
    const char *const *names;
    size_t count;
    mw_text *why; /* it cannot be used */
} module_files;

/* Loads the first module that is there, and has it write pages or a picture. */
static mw_paper_pdf_status write_with(const mw_paper *paper, const module_files *files,
                                      bool picture, mw_paper_sink sink)
{
    size_t i = 0;
    while (i < files->count && access(files->names[i], R_OK) != 0) {
        i++;
    }
    if (i == files->count) {
        return MW_PDF_NO_MODULE;
    }
    const mw_paper_module *module = load(files->names[i], files->why);
    if (!module) {
        return MW_PDF_NO_LIBRARY;
    }
    if (paper->lost) {
        return MW_PDF_LOST;
    }
    return picture ? module->write_png(paper, &sink) : module->write(paper, &sink);
}

mw_paper_pdf_status mw_paper_pdf(const mw_paper *paper, const char *const *modules, size_t count,
                                 mw_text *out, mw_text *why)
{
    return write_with(paper, &(module_files){modules, count, why}, false,
                      (mw_paper_sink){take, out});
}

mw_paper_pdf_status mw_paper_png(const mw_paper *paper, const char *const *modules, size_t count,
                                 mw_text *out, mw_text *why)
{
    return write_with(paper, &(module_files){modules, count, why}, true,
                      (mw_paper_sink){take, out});
}
