"""Operators, their vessels, the vessels' engines."""

from sqlmodel import Field, SQLModel


class Operator(SQLModel, table=True):
    """Runs a fleet. The standing order lists the dispositions that the workshop carries out without asking."""

    __tablename__ = "operator"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    contact: str = ""
    standing_order: str = ""
    """Dispositions by name, separated by blanks."""
    version: int = 1


class Vessel(SQLModel, table=True):
    """A ship, known by its IMO number."""

    __tablename__ = "vessel"

    id: int | None = Field(default=None, primary_key=True)
    operator_id: int = Field(foreign_key="operator.id", index=True)
    name: str
    imo_number: str = Field(unique=True)
    version: int = 1


class Engine(SQLModel, table=True):
    """An engine on board and the injector type that it takes."""

    __tablename__ = "engine"

    id: int | None = Field(default=None, primary_key=True)
    vessel_id: int = Field(foreign_key="vessel.id", index=True)
    designation: str
    cylinders: int
    injectors_per_cylinder: int = 1
    injector_type_id: int = Field(foreign_key="injector_type.id", index=True)
    version: int = 1
