//! A site, or any part of it, as a tree of named values: what printing and the search for impossible numbers walk.

use std::fmt::Display;

use serde::{
    Serialize, Serializer,
    ser::{self, SerializeMap, SerializeSeq, SerializeStruct, SerializeStructVariant},
};

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Node {
    None,
    Bool(bool),
    Whole(i128),
    Number(f64),
    Text(String),
    List(Vec<Node>),
    /// A point or another fixed group of values.
    Group(Vec<Node>),
    Table(Vec<(String, Node)>),
    Fields {
        /// Name of the type, or of the variant.
        of: &'static str,
        /// Whether the name is written: that of a variant is.
        variant: bool,
        fields: Vec<(&'static str, Node)>,
    },
    /// A choice without content.
    Word(&'static str),
    /// A choice with one value.
    Holding(&'static str, Box<Node>),
}

impl Node {
    /// `None` for a type that no part of a site has (bytes, for instance).
    pub(super) fn of<T: Serialize + ?Sized>(value: &T) -> Option<Self> {
        value.serialize(Planter).ok()
    }
}

#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub(super) struct CannotPlant(String);

impl ser::Error for CannotPlant {
    fn custom<T: Display>(message: T) -> Self {
        Self(message.to_string())
    }
}

struct Planter;

struct Seq(Vec<Node>, bool);
struct Map(Vec<(String, Node)>, Option<String>);
struct Fields(&'static str, bool, Vec<(&'static str, Node)>);

impl Serializer for Planter {
    type Ok = Node;
    type Error = CannotPlant;
    type SerializeSeq = Seq;
    type SerializeTuple = Seq;
    type SerializeTupleStruct = Seq;
    type SerializeTupleVariant = ser::Impossible<Node, CannotPlant>;
    type SerializeMap = Map;
    type SerializeStruct = Fields;
    type SerializeStructVariant = Fields;

    fn serialize_bool(self, v: bool) -> Result<Node, CannotPlant> {
        Ok(Node::Bool(v))
    }
    fn serialize_i8(self, v: i8) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_i16(self, v: i16) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_i32(self, v: i32) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_i64(self, v: i64) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_u8(self, v: u8) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_u16(self, v: u16) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_u32(self, v: u32) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_u64(self, v: u64) -> Result<Node, CannotPlant> {
        Ok(Node::Whole(v.into()))
    }
    fn serialize_f32(self, v: f32) -> Result<Node, CannotPlant> {
        Ok(Node::Number(v.into()))
    }
    fn serialize_f64(self, v: f64) -> Result<Node, CannotPlant> {
        Ok(Node::Number(v))
    }
    fn serialize_char(self, v: char) -> Result<Node, CannotPlant> {
        Ok(Node::Text(v.to_string()))
    }
    fn serialize_str(self, v: &str) -> Result<Node, CannotPlant> {
        Ok(Node::Text(v.to_owned()))
    }
    fn serialize_bytes(self, _: &[u8]) -> Result<Node, CannotPlant> {
        Err(ser::Error::custom("bytes"))
    }
    fn serialize_none(self) -> Result<Node, CannotPlant> {
        Ok(Node::None)
    }
    fn serialize_some<T: Serialize + ?Sized>(self, v: &T) -> Result<Node, CannotPlant> {
        v.serialize(self)
    }
    fn serialize_unit(self) -> Result<Node, CannotPlant> {
        Ok(Node::Group(Vec::new()))
    }
    fn serialize_unit_struct(self, _: &'static str) -> Result<Node, CannotPlant> {
        self.serialize_unit()
    }
    fn serialize_unit_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
    ) -> Result<Node, CannotPlant> {
        Ok(Node::Word(variant))
    }
    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        v: &T,
    ) -> Result<Node, CannotPlant> {
        v.serialize(self)
    }
    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        v: &T,
    ) -> Result<Node, CannotPlant> {
        Ok(Node::Holding(variant, Box::new(v.serialize(self)?)))
    }
    fn serialize_seq(self, _: Option<usize>) -> Result<Seq, CannotPlant> {
        Ok(Seq(Vec::new(), false))
    }
    fn serialize_tuple(self, _: usize) -> Result<Seq, CannotPlant> {
        Ok(Seq(Vec::new(), true))
    }
    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Seq, CannotPlant> {
        Ok(Seq(Vec::new(), true))
    }
    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, CannotPlant> {
        Err(ser::Error::custom("a variant with several unnamed values"))
    }
    fn serialize_map(self, _: Option<usize>) -> Result<Map, CannotPlant> {
        Ok(Map(Vec::new(), None))
    }
    fn serialize_struct(self, name: &'static str, _: usize) -> Result<Fields, CannotPlant> {
        Ok(Fields(name, false, Vec::new()))
    }
    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: usize,
    ) -> Result<Fields, CannotPlant> {
        Ok(Fields(variant, true, Vec::new()))
    }
}

impl SerializeSeq for Seq {
    type Ok = Node;
    type Error = CannotPlant;
    fn serialize_element<T: Serialize + ?Sized>(&mut self, v: &T) -> Result<(), CannotPlant> {
        self.0.push(v.serialize(Planter)?);
        Ok(())
    }
    fn end(self) -> Result<Node, CannotPlant> {
        Ok(if self.1 {
            Node::Group(self.0)
        } else {
            Node::List(self.0)
        })
    }
}

impl ser::SerializeTuple for Seq {
    type Ok = Node;
    type Error = CannotPlant;
    fn serialize_element<T: Serialize + ?Sized>(&mut self, v: &T) -> Result<(), CannotPlant> {
        SerializeSeq::serialize_element(self, v)
    }
    fn end(self) -> Result<Node, CannotPlant> {
        SerializeSeq::end(self)
    }
}

impl ser::SerializeTupleStruct for Seq {
    type Ok = Node;
    type Error = CannotPlant;
    fn serialize_field<T: Serialize + ?Sized>(&mut self, v: &T) -> Result<(), CannotPlant> {
        SerializeSeq::serialize_element(self, v)
    }
    fn end(self) -> Result<Node, CannotPlant> {
        SerializeSeq::end(self)
    }
}

impl SerializeMap for Map {
    type Ok = Node;
    type Error = CannotPlant;
    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), CannotPlant> {
        match key.serialize(Planter)? {
            Node::Text(key) => self.1 = Some(key),
            other => return Err(ser::Error::custom(format!("{other:?} as a key"))),
        }
        Ok(())
    }
    fn serialize_value<T: Serialize + ?Sized>(&mut self, v: &T) -> Result<(), CannotPlant> {
        let key = self.1.take().unwrap_or_default();
        self.0.push((key, v.serialize(Planter)?));
        Ok(())
    }
    fn end(self) -> Result<Node, CannotPlant> {
        Ok(Node::Table(self.0))
    }
}

impl SerializeStruct for Fields {
    type Ok = Node;
    type Error = CannotPlant;
    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        v: &T,
    ) -> Result<(), CannotPlant> {
        self.2.push((name, v.serialize(Planter)?));
        Ok(())
    }
    fn end(self) -> Result<Node, CannotPlant> {
        Ok(Node::Fields {
            of: self.0,
            variant: self.1,
            fields: self.2,
        })
    }
}

impl SerializeStructVariant for Fields {
    type Ok = Node;
    type Error = CannotPlant;
    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        v: &T,
    ) -> Result<(), CannotPlant> {
        SerializeStruct::serialize_field(self, name, v)
    }
    fn end(self) -> Result<Node, CannotPlant> {
        SerializeStruct::end(self)
    }
}
