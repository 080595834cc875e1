/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Opens a job and prints its hours: cc example.c $(pkg-config --cflags --libs mouldwright) */
#include <mouldwright/job.h>
#include <stdio.h>

int main(int count, char **words)
{
    mw_diags diags;
    const char *folders[] = {"", count > 2 ? words[2] : "/usr/local/share/mouldwright/recipes"};
    mw_job *job = mw_job_new(&(mw_job_options){.folders = folders, .folder_count = 2});
    bool well = mw_diags_start(&diags) == MW_OK && job && count > 1 &&
                mw_job_open(job, words[1], &diags) == MW_OK;
    printf("%.1f h\n", well ? mw_job_headline(job).hours_s / 3600.0 : 0.0);
    mw_job_free(job);
    mw_diags_free(&diags);
    return well ? 0 : 1;
}
