"""`pipemodel schema`: the JSON Schema of a job file or a room file, so that editors complete and check one."""

import json

import click


@click.command()
@click.option("--room-file", is_flag=True, help="That of a room file, which several jobs share.")
def command(room_file: bool) -> None:
    """Print the JSON Schema of a job file, for editors to complete and check by."""
    from pipemodel.job.schema import json_schema, room_file_schema

    click.echo(json.dumps(room_file_schema() if room_file else json_schema(), indent=2))
