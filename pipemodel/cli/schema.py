"""`pipemodel schema`: the JSON Schema of a job file, so that editors complete and check one."""

import json

import click


@click.command()
def command() -> None:
    """Print the JSON Schema of a job file, for editors to complete and check by."""
    from pipemodel.job.schema import json_schema

    click.echo(json.dumps(json_schema(), indent=2))
